// What a pair of eyes would notice, for the tests to ask about.
globalThis.sight ??= (() => {
  // WCAG 2.2: "relative luminance" and "contrast ratio".
  const light = colour => colour.match(/[\d.]+/g).slice(0, 3).map(part => part / 255)
    .map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)
    .reduce((sum, part, at) => sum + part * [0.2126, 0.7152, 0.0722][at], 0);
  const contrast = (one, other) => {
    const [low, high] = [light(one), light(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  // The colour behind an element's own: that of the nearest box which has one.
  const ground = one => {
    for (; one; one = one.parentElement) {
      const colour = getComputedStyle(one).backgroundColor;
      if (!/, 0\)$/.test(colour)) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  const shown = one => one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  // Texts that stand out less than 4.5 to one.
  const faint = () => [...document.body.querySelectorAll('*')]
    .filter(one => shown(one) && [...one.childNodes].some(node => node.nodeType == 3 && node.data.trim()))
    .map(one => [contrast(getComputedStyle(one).color, ground(one)), one.outerHTML.slice(0, 120)])
    .filter(([ratio]) => ratio < 4.5);
  // What a keyboard should reach, in the order of the text. Of a group of radio buttons only the chosen one is a stop.
  const stops = () => [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex]')]
    .filter(one => one.tabIndex >= 0 && !one.disabled && shown(one) && (one.type != 'radio' || one.checked));
  // What it has reached.
  const stop = () => {
    const one = document.activeElement, style = getComputedStyle(one), box = one.getClientRects()[0];
    const hit = box && document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return {
      what: one.outerHTML.slice(0, 120),
      at: stops().indexOf(one),
      scrolls: one.scrollWidth > one.clientWidth && style.overflowX == 'auto',
      ring: style.outlineStyle == 'none' ? 0 : parseFloat(style.outlineWidth),
      contrast: contrast(style.outlineColor, ground(one.parentElement)),
      seen: !!hit && (one.contains(hit) || hit.contains(one)),
    };
  };
  return { shown, faint, stops, stop };
})();
