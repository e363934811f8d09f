// What the browser really set, for measure.py: texts, strokes, the sheet.
(() => {
  const shown = element => {
    const style = getComputedStyle(element);
    return style.visibility !== 'hidden' && style.display !== 'none';
  };
  const rgb = (color, opacity) => {
    const parts = (color.match(/[\d.]+/g) || [0, 0, 0, 0]).map(Number);
    return [parts[0], parts[1], parts[2], (parts.length > 3 ? parts[3] : 1) * opacity];
  };
  const faded = element => {
    let opacity = 1;
    for (let at = element; at instanceof Element; at = at.parentElement)
      opacity *= Number(getComputedStyle(at).opacity);
    return opacity;
  };
  const scale = element => {
    const matrix = element.getScreenCTM();
    return matrix ? Math.sqrt(Math.abs(matrix.a * matrix.d - matrix.b * matrix.c)) : 1;
  };
  const rect = box => [box.left + scrollX, box.top + scrollY,
                       box.right + scrollX, box.bottom + scrollY];
  const outermost = element => {
    let svg = element.ownerSVGElement;
    while (svg && svg.ownerSVGElement) svg = svg.ownerSVGElement;
    return svg;
  };
  const svgs = [...document.querySelectorAll('svg')].filter(svg => !svg.ownerSVGElement);
  const texts = [];
  for (const text of document.querySelectorAll('svg text')) {
    if (text.getAttribute('aria-hidden') || !shown(text) || !text.textContent.trim()) continue;
    const style = getComputedStyle(text);
    const box = text.getBBox();
    if (!box.width) continue;
    const matrix = text.getScreenCTM();
    const size = parseFloat(style.fontSize);
    // From the height of capitals to the depth of a comma: what ink can fill.
    const base = text.getStartPositionOfChar(0).y;
    const corners = [[box.x, base - 0.74 * size], [box.x + box.width, base + 0.2 * size]]
      .map(([x, y]) => [matrix.a * x + matrix.c * y + matrix.e,
                        matrix.b * x + matrix.d * y + matrix.f]);
    const page = outermost(text);
    texts.push({
      words: text.textContent, picture: svgs.indexOf(page), size: size * scale(text),
      color: rgb(style.fill, faded(text) * Number(style.fillOpacity)),
      box: rect({left: Math.min(corners[0][0], corners[1][0]),
                 right: Math.max(corners[0][0], corners[1][0]),
                 top: Math.min(corners[0][1], corners[1][1]),
                 bottom: Math.max(corners[0][1], corners[1][1])}),
      sheet: rect(text.ownerSVGElement.getBoundingClientRect()),
    });
  }
  const walker = document.createTreeWalker(document.body || document.documentElement,
                                           NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || !parent || parent.closest('svg, style, script, title, head')) continue;
    if (!shown(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (!box.width || !box.height) continue;
    const style = getComputedStyle(parent);
    texts.push({words: node.data.trim(), picture: -1, size: parseFloat(style.fontSize),
                color: rgb(style.color, faded(parent)), box: rect(box), sheet: null});
  }
  const strokes = [];
  for (const shape of document.querySelectorAll(
      'svg path, svg line, svg rect, svg circle, svg ellipse, svg polyline, svg polygon')) {
    if (shape.closest('defs, clipPath, pattern, mask') || !shown(shape)) continue;
    const style = getComputedStyle(shape);
    if (style.stroke === 'none' || !parseFloat(style.strokeWidth)) continue;
    if (!style.stroke.startsWith('rgb')) continue;
    let length = 0;
    try { length = shape.getTotalLength(); } catch { continue; }
    if (!length) continue;
    const matrix = shape.getScreenCTM();
    const count = Math.max(2, Math.min(60, Math.round(length / 8)));
    const points = [];
    for (let step = 0; step < count; step++) {
      const at = (step + 0.5) / count * length;
      const a = shape.getPointAtLength(at);
      const b = shape.getPointAtLength(Math.min(length, at + 0.05));
      const on = p => [matrix.a * p.x + matrix.c * p.y + matrix.e + scrollX,
                       matrix.b * p.x + matrix.d * p.y + matrix.f + scrollY];
      const [from, to] = [on(a), on(b)];
      const far = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
      points.push([from[0], from[1], -(to[1] - from[1]) / far, (to[0] - from[0]) / far]);
    }
    strokes.push({
      mark: [...shape.attributes].filter(a => a.name.startsWith('data-'))
        .map(a => `${a.name}=${a.value}`).join(' ') || shape.outerHTML.slice(0, 60),
      color: rgb(style.stroke, faded(shape) * Number(style.strokeOpacity)),
      width: parseFloat(style.strokeWidth) * scale(shape), points,
    });
  }
  const ids = [...document.querySelectorAll('[id]')].map(element => element.id);
  return {texts, strokes, pictures: svgs.map(svg => rect(svg.getBoundingClientRect())),
          width: document.documentElement.scrollWidth,
          height: document.documentElement.scrollHeight,
          twins: ids.filter((id, index) => ids.indexOf(id) !== index)};
})()
