"""Text, drawings and JSON over the values; works nothing out."""
