// The contrast of every text that is seen, by the definition of WCAG 2.2 (relative luminance, contrast ratio): returns
// those under the limit, and how many texts were looked at. A text's ground is what is painted behind it: of HTML the
// nearest ancestors' colours, of a drawing the shapes that were drawn before it.
(limit) => {
  const parse = (text) => {
    const m = text.match(/rgba?\(([^)]+)\)/);
    if (!m) return null;
    const [r, g, b, a = 1] = m[1].split(/[\s,/]+/).filter(Boolean).map(Number);
    return { r, g, b, a };
  };
  const over = (top, under) => ({
    r: top.r * top.a + under.r * (1 - top.a),
    g: top.g * top.a + under.g * (1 - top.a),
    b: top.b * top.a + under.b * (1 - top.a),
    a: 1,
  });
  const channel = (v) => ((v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const luminance = (c) => 0.2126 * channel(c.r) + 0.7152 * channel(c.g) + 0.0722 * channel(c.b);
  const ratio = (one, two) => {
    const [high, low] = [luminance(one), luminance(two)].sort((a, b) => b - a);
    return (high + 0.05) / (low + 0.05);
  };
  const hex = (c) => "#" + [c.r, c.g, c.b].map((v) => Math.round(v).toString(16).padStart(2, "0")).join("");

  // The colours that may stand behind an element, the worst of a hatching among them.
  const grounds = (element) => {
    const layers = [];
    for (let e = element; e; e = e.parentElement) {
      const style = e.ownerDocument.defaultView.getComputedStyle(e);
      const own = parse(style.backgroundColor);
      // A line drawn as a background of a few pixels is no ground.
      const line = /px/.test(style.backgroundSize);
      const hatch = line || style.backgroundImage === "none" ? [] : [...style.backgroundImage.matchAll(/rgba?\([^)]+\)/g)].map((m) => parse(m[0]));
      layers.push({ own, hatch });
      if (own && own.a === 1) break;
    }
    let all = [{ r: 255, g: 255, b: 255, a: 1 }];
    for (const { own, hatch } of layers.reverse()) {
      if (own && own.a > 0) all = all.map((ground) => over(own, ground));
      if (hatch.length) all = all.flatMap((ground) => [...hatch.map((c) => over(c, ground)), ground]);
    }
    return all;
  };
  const drawnBefore = (text) => {
    const svg = text.ownerSVGElement;
    const box = text.getBoundingClientRect();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    let found = null;
    for (const shape of svg.querySelectorAll("rect, path, circle, polygon, ellipse")) {
      if (!(shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
      if (shape.closest("defs, clipPath, mask, pattern, symbol")) continue;
      const fill = parse(shape.ownerDocument.defaultView.getComputedStyle(shape).fill);
      const around = shape.getBoundingClientRect();
      if (!fill || fill.a === 0 || x < around.left || x > around.right || y < around.top || y > around.bottom) continue;
      const at = shape.getScreenCTM()?.inverse();
      if (at && shape.isPointInFill) {
        const point = new DOMPoint(x, y).matrixTransform(at);
        if (!shape.isPointInFill(point)) continue;
      }
      found = fill;
    }
    return found;
  };
  const opacity = (element) => {
    let all = 1;
    for (let e = element; e; e = e.parentElement) all *= parseFloat(e.ownerDocument.defaultView.getComputedStyle(e).opacity);
    return all;
  };

  const low = new Set();
  let looked = 0;
  const look = (element, words, colour, grounds) => {
    looked += 1;
    const shine = opacity(element);
    for (const ground of grounds) {
      const ink = over({ ...colour, a: colour.a * shine }, ground);
      const seen = ratio(ink, ground);
      if (seen < limit - 0.005) low.add(`${seen.toFixed(2)} (${hex(ink)} on ${hex(ground)}): ${words.trim().replace(/\s+/g, " ").slice(0, 50)}`);
    }
  };
  const page = (root, offered) => {
    const walker = root.createTreeWalker(root.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const text = walker.currentNode;
      const element = text.parentElement;
      if (!text.textContent.trim() || !element || element.closest("script, style, title, desc, .unseen, noscript")) continue;
      const style = root.defaultView.getComputedStyle(element);
      if (style.visibility === "hidden" || style.display === "none") continue;
      const range = root.createRange();
      range.selectNodeContents(text);
      const box = range.getBoundingClientRect();
      if (box.width < 1 || box.height < 1) continue;
      const drawn = element.ownerSVGElement;
      const colour = parse(drawn ? style.fill : style.color);
      if (!colour) { low.add(`no colour to be read: ${text.textContent.trim().slice(0, 50)}`); continue; }
      const shape = drawn && drawnBefore(element);
      const behind = grounds(drawn ? drawn.parentElement : element);
      look(element, text.textContent, colour, shape ? behind.map((ground) => over(shape, ground)) : behind);
    }
    for (const field of root.querySelectorAll("input, textarea, select")) {
      const box = field.getBoundingClientRect();
      if (box.width < 2 || box.height < 2 || ["file", "checkbox", "radio"].includes(field.type)) continue;
      look(field, field.value || field.id, parse(root.defaultView.getComputedStyle(field).color), grounds(field));
    }
    for (const frame of root.querySelectorAll("iframe")) if (frame.contentDocument?.body) page(frame.contentDocument);
  };
  page(document);
  return { looked, low: [...low] };
}
