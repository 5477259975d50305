"""The trade's arithmetic as pure functions and small tables; knows nothing of shows or files.

What our own kinds do not call stands here for the kinds of others: an author of one should find the
exposure of a wedge, the time code of a frame or the sag of a rod without writing it again. Each
formula names its source, and a check of `tests/craft` holds it.
"""
