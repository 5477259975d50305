(()=>{const d=document,n=d.querySelector("nav"),f=d.createElement("input"),l=d.createElement("label");
l.append("Show only what says ",f);f.type="search";n.append(l);
const held="article,.strip>li,.found>li,.s-once tr[id],.s-scales table,.s-weeks>.wide",all=[...d.querySelectorAll(held)];
f.addEventListener("input",()=>{const w=f.value.trim().toLowerCase();for(const e of all)e.hidden=w!==""&&!e.textContent.toLowerCase().includes(w)});
let lit=[];const light=e=>{lit.forEach(x=>x.classList.remove("lit"));lit=[];
const t=e.target instanceof Element&&e.target.closest("a[href*='#'],tr[id]");if(!t)return;
const i=t.id||decodeURIComponent(t.getAttribute("href").split("#")[1]||"");if(!i||i.includes(":"))return;
lit=[...d.querySelectorAll(`[href$="#${CSS.escape(i)}"]`)];const r=d.getElementById(i);if(r&&r.tagName==="TR")lit.push(r);
lit.forEach(x=>x.classList.add("lit"))};
d.addEventListener("pointerover",light);d.addEventListener("focusin",light)})()
