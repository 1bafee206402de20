"""What a picture must keep to, measured in the browser: no words over words, over a line or over hatching, none cut off."""

from __future__ import annotations

# Asked of one svg element; gives sentences. Boxes of words are taken line by line, from the ink's height.
FAULTS = r"""(svg) => {
  const found = new Set();
  const view = svg.viewBox.baseVal;
  const home = svg.getScreenCTM().inverse();
  const to = (e, x, y) => new DOMPoint(x, y).matrixTransform(e.getScreenCTM()).matrixTransform(home);
  const out = (x, y) => x < view.x - .5 || y < view.y - .5 || x > view.x + view.width + .5 || y > view.y + view.height + .5;
  const drawn = [...svg.querySelectorAll('path, line, circle, rect, polyline, text')].filter(e => !e.closest('defs'));
  const shapes = [], words = [];
  drawn.forEach((e, order) => {
    const style = getComputedStyle(e);
    if (style.display === 'none') return;
    if (e.tagName === 'text') {
      const lines = new Map();
      for (let i = 0; i < e.getNumberOfChars(); i++) {
        const c = e.getExtentOfChar(i), key = Math.round(c.y);
        if (!c.width) continue;
        const was = lines.get(key) || {x1: 1e9, x2: -1e9, y1: 1e9, y2: -1e9, said: ''};
        const at = [to(e, c.x, c.y + c.height * .16), to(e, c.x + c.width, c.y + c.height * .86)];
        was.x1 = Math.min(was.x1, at[0].x); was.x2 = Math.max(was.x2, at[1].x);
        was.y1 = Math.min(was.y1, at[0].y); was.y2 = Math.max(was.y2, at[1].y);
        was.said += e.textContent.replace(/\s+/g, ' ')[i] || '';
        lines.set(key, was);
      }
      const size = parseFloat(style.fontSize);
      for (const one of lines.values()) words.push({...one, order, size, colour: style.fill, of: e});
      return;
    }
    const wide = style.stroke === 'none' ? 0 : parseFloat(style.strokeWidth);
    shapes.push({e, order, wide, fill: style.fill, name: `${e.tagName}.${e.getAttribute('class') || ''}`});
  });
  const fillAt = (x, y, before, after) => {
    for (let i = shapes.length - 1; i >= 0; i--) {
      const one = shapes[i];
      if (one.order >= before || one.fill === 'none' || one.order <= after) continue;
      const p = new DOMPoint(x, y).matrixTransform(svg.getScreenCTM()).matrixTransform(one.e.getScreenCTM().inverse());
      if (one.e.isPointInFill(p)) return one;
    }
    return null;
  };
  for (const w of words) {
    if (out(w.x1, w.y1) || out(w.x2, w.y2)) found.add(`“${w.said}” is cut off`);
    for (const v of words) if (v !== w && words.indexOf(v) > words.indexOf(w)
      && Math.min(v.x2, w.x2) - Math.max(v.x1, w.x1) > 1 && Math.min(v.y2, w.y2) - Math.max(v.y1, w.y1) > 1)
      found.add(`“${w.said}” over “${v.said}”`);
    for (let i = 0; i <= 12; i++) for (const part of [.15, .5, .85]) {
      const on = fillAt(w.x1 + (w.x2 - w.x1) * i / 12, w.y1 + (w.y2 - w.y1) * part, w.order, -1);
      if (on && on.fill.startsWith('url')) found.add(`“${w.said}” on the hatching of ${on.name}`);
      else if (on && on.fill === w.colour) found.add(`“${w.said}” in the colour it stands on`);
    }
  }
  for (const s of shapes) {
    if (!s.wide) continue;
    const long = s.e.getTotalLength();
    const steps = Math.min(4000, Math.ceil(long / 2));
    for (let i = 0; i <= steps; i++) {
      const at = s.e.getPointAtLength(long * i / Math.max(1, steps));
      const p = to(s.e, at.x, at.y);
      if (out(p.x, p.y)) found.add(`${s.name} is cut off`);
      for (const w of words) {
        if (p.x > w.x1 - 1 && p.x < w.x2 + 1 && p.y > w.y1 && p.y < w.y2) {
          const over = fillAt(p.x, p.y, w.order, s.order);
          if (!over || over.fill.startsWith('url')) found.add(`“${w.said}” over ${s.name}`);
        }
      }
    }
  }
  return [...found];
}"""

# Asked of the page; gives every weight of a line and height of words in its pictures that is not of the one set.
HAND = r"""() => {
  const found = new Set();
  for (const e of document.querySelectorAll('svg.drawn :is(path, line, circle, rect, polyline, text)')) {
    const style = getComputedStyle(e);
    if (e.tagName === 'text') {
      const size = style.fontSize;
      if (!['17px', '24px'].includes(size)) found.add(`words of ${size} in ${e.closest('svg').classList}`);
    } else if (style.stroke !== 'none' && ![1, 2, 4, 6, 10].includes(parseFloat(style.strokeWidth)))
      found.add(`a line of ${style.strokeWidth} in ${e.closest('svg').classList}`);
  }
  return [...found];
}"""
