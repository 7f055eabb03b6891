// What a person would see to be wrong with a sheet, as a list of texts. Runs inside the page.
(() => {
  const wrong = [];
  const box = (e) => e.getBoundingClientRect();
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0.5 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1.5;
  // Words of a picture over one another, or cut off by its edge.
  for (const svg of document.querySelectorAll("svg.picture")) {
    const words = [...svg.querySelectorAll("text")].filter((t) => t.textContent.trim());
    const frame = box(svg);
    words.forEach((one, k) => {
      const a = box(one);
      if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1)
        wrong.push(`${svg.id}: "${one.textContent}" is cut off`);
      for (const other of words.slice(k + 1))
        if (meet(a, box(other))) wrong.push(`${svg.id}: "${one.textContent}" is on "${other.textContent}"`);
    });
  }
  // Broader than the window.
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) wrong.push(`${root.scrollWidth} broad in a window of ${root.clientWidth}`);
  // Headings in their order, names of pictures, ids, heads of tables.
  const heads = [...document.querySelectorAll("h1,h2,h3,h4,h5,h6")].map((h) => Number(h.tagName[1]));
  if (heads.filter((n) => n === 1).length !== 1 || heads[0] !== 1) wrong.push("not one first heading");
  heads.forEach((n, k) => { if (k && n > heads[k - 1] + 1) wrong.push(`heading ${k} leaves out a step`); });
  if (!document.documentElement.lang || !document.title) wrong.push("no language or title");
  const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
  ids.forEach((id, k) => { if (ids.indexOf(id) !== k) wrong.push(`id ${id} twice`); });
  for (const picture of document.querySelectorAll("svg:not([aria-hidden])"))
    if (picture.getAttribute("role") !== "img" ||
      !(picture.getAttribute("aria-label") || document.getElementById((picture.getAttribute("aria-labelledby") || "").split(" ")[0])))
      wrong.push("a picture without a name");
  for (const head of document.querySelectorAll("th")) if (!head.scope) wrong.push(`head "${head.textContent}" of what?`);
  // Contrast by WCAG 2.1, 1.4.3.
  const parts = (c) => (c.match(/[\d.]+/g) || []).map(Number);
  const light = (c) => {
    const [r, g, b] = parts(c).map((v) => v / 255).map((v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const c = getComputedStyle(at).backgroundColor;
      if (parts(c).length === 3 || parts(c)[3] > 0) return c;
    }
    return "rgb(255, 255, 255)";
  };
  for (const e of document.querySelectorAll("h1,h2,h3,p,li,td,th,dt,dd,caption,figcaption,strong,b,text")) {
    if (!e.textContent.trim()) continue;
    const style = getComputedStyle(e);
    const own = e.tagName === "text" ? style.fill : style.color;
    const [a, b] = [light(own), light(ground(e))].sort((x, y) => y - x);
    if ((a + 0.05) / (b + 0.05) < 4.5) wrong.push(`contrast of "${e.textContent.slice(0, 30)}": ${own} on ${ground(e)}`);
  }
  return wrong;
})()
