() => {
  // Faults of a page as people see them, each in a sentence; none is what is wanted.
  const faults = [];
  const shown = e => { const s = getComputedStyle(e); return s.visibility !== "hidden" && s.display !== "none"; };
  const said = n => n.textContent.trim().slice(0, 40);
  // Every line of text, as a rectangle on the page.
  const lines = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n = walker.nextNode(); n; n = walker.nextNode()) {
    const holder = n.parentElement;
    if (!n.textContent.trim() || holder.closest("script,style,title,.skip") || !shown(holder)) continue;
    const range = document.createRange();
    range.selectNodeContents(n);
    for (const r of range.getClientRects()) {
      if (r.width > 1 && r.height > 1) lines.push({ r, n });
      const svg = holder.closest("svg");
      if (svg) {
        const s = svg.getBoundingClientRect();
        if (r.left < s.left - 1 || r.right > s.right + 1 || r.top < s.top - 1 || r.bottom > s.bottom + 1)
          faults.push(`${said(n)}: past the edge of its drawing`);
        const box = holder.closest("a")?.querySelector("rect")?.getBoundingClientRect();
        if (box && (r.left < box.left || r.right > box.right || r.top < box.top || r.bottom > box.bottom))
          faults.push(`${said(n)}: past the edge of its box`);
      } else {
        const cell = holder.closest("td,th,li,.panel,dd,p,h1,h2,h3,h4,figcaption,caption");
        const c = cell?.getBoundingClientRect();
        if (c && (r.left < c.left - 2 || r.right > c.right + 2)) faults.push(`${said(n)}: past the edge of what holds it`);
      }
    }
  }
  lines.sort((a, b) => a.r.top - b.r.top);
  for (let i = 0; i < lines.length; i++) {
    const a = lines[i].r;
    for (let j = i + 1; j < lines.length && lines[j].r.top < a.bottom - 3; j++) {
      const b = lines[j].r;
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - b.top > 3)
        faults.push(`${said(lines[i].n)} | ${said(lines[j].n)}: one upon the other`);
    }
  }
  for (const e of document.querySelectorAll("body *")) {
    if (getComputedStyle(e).overflowX === "visible" || e.closest("svg") || !shown(e)) continue;
    // What scrolls must be reached by keyboard: itself, or links in it that scroll into view.
    const reached = e.tabIndex === 0 || e.querySelector("a[href]") !== null;
    const scrolls = getComputedStyle(e).overflowX === "auto" && reached;
    if (!scrolls && (e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1))
      faults.push(`${said(e)}: cut off`);
  }
  if (document.documentElement.scrollWidth > innerWidth) faults.push("the page is wider than the window");
  // A name short enough for its column stands on one line, or nobody can read it out.
  if (innerWidth > 600) for (const a of document.querySelectorAll("tbody th a")) {
    const name = a.textContent;
    if (/^\S{1,16}$/.test(name) && a.getClientRects().length > 1) faults.push(`${name}: a name broken in two`);
  }
  // So does each word of a heading, however narrow the column.
  for (const th of document.querySelectorAll("thead th")) {
    const inside = document.createTreeWalker(th, NodeFilter.SHOW_TEXT);
    for (let n = inside.nextNode(); n; n = inside.nextNode()) for (const word of n.textContent.matchAll(/[^\s\u00ad-]+/g)) {
      const range = document.createRange();
      range.setStart(n, word.index);
      range.setEnd(n, word.index + word[0].length);
      if (range.getClientRects().length > 1) faults.push(`${word[0]}: a heading broken in two`);
    }
  }
  // So do sums.
  for (const td of document.querySelectorAll("tbody td")) {
    const range = document.createRange();
    range.selectNodeContents(td);
    if (/^[+-]?[\d,.]+$/.test(td.textContent) && range.getClientRects().length > 1)
      faults.push(`${td.textContent}: a sum broken in two`);
  }
  const ids = [...document.querySelectorAll("[id]")].map(e => e.id);
  for (const id of new Set(ids.filter((id, i) => ids.indexOf(id) !== i))) faults.push(`${id}: an id twice`);
  for (const a of document.querySelectorAll("a[href^='#']")) {
    const id = decodeURIComponent(a.getAttribute("href").slice(1));
    if (!document.getElementById(id)) faults.push(`${id}: a link to nothing`);
  }
  return [...new Set(faults)];
}
