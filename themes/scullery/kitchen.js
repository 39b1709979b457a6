// The kitchen's sums: scaling, what can be measured, printing. The publisher does the same in Rust, and a test holds
// this file to it. Sizes, names and marks come from the page's data; src/kitchen/live_data.rs writes down its rows.
//
// An amount is a whole number of ticks, times Q: a number that all that is done to amounts divides. So every sum is
// exact. A ratio is [over, under].
const Kitchen = live => {
  const NB = String.fromCharCode(160);
  const GLYPHS = ["½1/2", "⅓1/3", "⅔2/3", "¼1/4", "¾3/4", "⅛1/8", "⅜3/8", "⅝5/8", "⅞7/8"]
    .map(g => [g[0], BigInt(g[1]), BigInt(g[3])]);
  const READERS = ["metric", "us", "imperial"], DEGREES = ["c", "f", "both"], TOOLS = { weigh: 0, spoon: 2 },
    GRAIN = BigInt(live.grain);
  let Q = 1n;

  const ratio = text => { const [a, b = 1] = String(text).split("/"); return [BigInt(a), BigInt(b)]; },
    abs = x => x < 0n ? -x : x;
  // How often `step` goes into `x`; halves go away from nought.
  const times = (x, step) => x < 0n ? -times(-x, step) : (2n * x + step) / (2n * step),
    round = (x, step) => times(x, step) * step;

  const decimal = (x, one, places = 6) => {
    const p = 10n ** BigInt(places), n = times(x * p, one), m = abs(n),
      after = String(m % p).padStart(places, "0").replace(/0+$/, "");
    return (n < 0n ? "−" : "") + m / p + (after && live.decimal + after);
  };
  // Four figures; those before the point are never rounded away.
  const figures = (x, one) => {
    const at = [1000n, 100n, 10n, 1n].findIndex(limit => x >= limit * one);
    return decimal(x, one, at < 0 ? 4 : at);
  };
  const fraction = (x, one) => {
    const n = x / one, rest = x % one, glyph = rest && GLYPHS.find(([, a, b]) => rest * b === a * one);
    return !rest ? String(n) : glyph ? (n || "") + glyph[0] : figures(x, one);
  };

  const units = live.units.map(([one, size, parts, many]) => ({ one, many: many || one, size: BigInt(size), parts })),
    size = u => units[u].size * Q,
    number = (x, u) => (units[u].parts ? fraction : decimal)(x, size(u));
  const named = (text, u, many) => {
    const name = many ? units[u].many : units[u].one;
    return text + (name && NB + name);
  };
  // Units and ladders by their place in the data.
  const [G, KG, OZ, LB, ML, L, FLOZ, PINT, GALLON, QUART, PIECE] = units.keys();
  const [SCALE, FINE, OUNCES, JUG, BEAKER, FLUID, QUARTS, PINTS] = live.ladders.map(([u, ticks, ...rungs]) =>
    ({ u, ticks: BigInt(ticks), rungs: rungs.map(BigInt) }));
  const stepAt = ({ u, ticks, rungs }, x) => {
    const tick = size(u) / ticks;
    return tick * rungs[rungs.findIndex((upto, at) => !(at % 2) && (!upto || x < upto * tick)) + 1];
  };
  const split = (x, large, small) => {
    const left = x % size(large), parts = [[x - left, large], [left, small]].filter(part => part[0]);
    return parts.length ? parts : [[x, small]];
  };

  const readers = live.readers.map(([tsp, tbsp, cup, top, foot, quart, gallon]) =>
    ({ tsp, tbsp, cup, top: BigInt(top), foot: BigInt(foot), quart, gallon }));
  // For volumes up to the first: the step of teaspoons, the most tablespoons, the parts of a cup.
  const stretch = (r, x, cups, fine) => {
    const s = size(r.tsp), c = size(r.cup), eighth = s / 8n,
      none = [0n], some = [0n, c / 4n, c / 3n, c / 2n, c * 2n / 3n, c * 3n / 4n, c];
    const list = [
      [s, eighth, 0, none],
      [size(r.tbsp), fine ? eighth : s / 4n, 0, none],
      [cups ? c / 4n : r.foot * Q, fine ? eighth : s / 2n, 5, none],
    ];
    if (cups) list.push([c, fine ? s / 4n : s, 5, some], [4n * c, fine ? s : 0n, 3, some]);
    if (cups && !r.top) list.push([16n * c, 0n, 0, some], [32n * c, 0n, 0, [0n, c / 2n, c]], [0n, 0n, 0, [0n, c]]);
    return list.find(([upto]) => !upto || x < upto) || list.at(-1);
  };
  const sums = (r, x, [, step, most, cups]) => {
    const t = size(r.tbsp), c = size(r.cup), full = cups.length > 1 ? x - x % c : 0n, found = [];
    for (const part of cups) {
      const cup = full + part;
      for (let n = 0n; n <= (cup && most > 3 ? 3 : most); n++) {
        const left = x - cup - n * t, full = most ? t - step : t, near = step && left > 0n ? round(left, step) : 0n;
        const tsp = near < full ? near : full;
        found.push({ cup, n, tsp: step && tsp, sum: cup + n * t + (step && tsp) });
      }
    }
    return found;
  };
  const nearest = (r, x, cups, fine) => {
    const s = stretch(r, x, cups, fine), upto = s[0],
      marks = sums(r, x, s).map(one => one.sum).filter(sum => !upto || sum <= upto).concat(upto || []);
    return marks.reduce((a, b) => {
      const gap = abs(b - x) - abs(a - x);
      return gap < 0n || !gap && b > a ? b : a;
    });
  };
  const spoons = (r, x, cups, fine) => {
    const s = size(r.tsp), c = size(r.cup), scoops = (x, one) => {
      const rest = x % one;
      return Number(x / one) + (!rest ? 0 : rest * 4n === one * 3n || rest * 3n === one * 2n ? 2 : 1);
    };
    let best = [], least = Infinity;
    for (const { cup, n, tsp, sum } of sums(r, x, stretch(r, x, cups, fine))) {
      if (sum !== x) continue;
      const vats = r.gallon && cup >= 8n * c, gallons = vats ? cup - cup % (16n * c) : 0n;
      const quarts = vats ? cup - gallons - cup % (4n * c) : 0n;
      // Three eighths is no spoon: a quarter and an eighth.
      const odd = tsp > s / 8n ? tsp % (s / 4n) : 0n;
      const list = [[gallons, r.gallon], [quarts, r.quart], [cup - gallons - quarts, r.cup], [n * size(r.tbsp), r.tbsp],
        [tsp - odd, r.tsp], [odd, r.tsp]].filter(part => part[0]);
      const fillings = scoops(cup, c) + Number(n) + scoops(tsp, s) + list.length;
      if (fillings < least) [best, least] = [list, fillings];
    }
    return best.length ? best : [[0n, r.tsp]];
  };

  // Ways to measure: what is measured out, its parts, whether they are spoons.
  const marked = (ladder, parts) => x => { const at = round(x, stepAt(ladder, x)); return [at, parts(at)]; },
    larger = (small, large) => at => [[at, at < 1000n * size(small) ? small : large]],
    grams = larger(G, KG), millilitres = larger(ML, L), jugful = marked(JUG, millilitres);
  const fluid = marked(FLUID, at => {
    const pint = size(PINT);
    if (at >= 16n * pint) return split(at, GALLON, PINT);
    return 2n * at >= pint && !(at % (pint / 4n)) ? [[at, PINT]] : split(at, PINT, FLOZ);
  });
  const jug = r => x => {
    const foot = r.foot * Q, at = x < foot ? nearest(r, x) : x;
    return at < foot ? [at, spoons(r, at), 1] : (r === readers[2] ? fluid : jugful)(at);
  };
  const cups = (r, fine) => x => {
    const top = r.top * size(r.cup), at = top && x >= top ? x : nearest(r, x, 1, fine);
    return top && at >= top ? jug(r)(at) : [at, spoons(r, at, 1, fine), 1];
  };
  // Tools: 0 scale, 1 jug, 2 spoons, 3 beaker, 4 pot.
  const ways = (m, x, reader, tool) => {
    const heavy = m.kind === "m", [a, b] = m.density || [],
      mass = heavy ? x : a && x * a / (GRAIN * b), volume = heavy ? a && x * b * GRAIN / a : x;
    if (!tool && mass === undefined) tool = 1;
    if (heavy && volume === undefined) tool = 0;
    const r = readers[reader], us = reader === 1, spooned = tool === 2 && !reader, small = tool && tool !== 3;
    return [
      [tool === 3, volume, marked(BEAKER, millilitres)],
      [tool === 4 && reader, volume, us ? marked(QUARTS, at => [[at, QUART]]) : marked(PINTS, at => [[at, PINT]])],
      [small && !us && !spooned, volume, jug(r)],
      [small && us || spooned, volume, cups(r)],
      [reader && (!tool || heavy), mass, marked(OUNCES, at => split(at, LB, OZ)), OUNCES],
      [1, mass, marked(SCALE, grams), SCALE],
      [1, mass, marked(FINE, grams), FINE],
      [mass === undefined, volume, cups(r, 1)],
    ].filter(([offered, x]) => offered && x !== undefined);
  };
  const measured = (exact, [at, parts, spooned]) =>
    ({ exact, at, parts, spooned, about: 50n * abs(at - exact) > exact });
  const isClose = (one, limit) => limit * abs(one.at - one.exact) <= one.exact;
  const firstClose = (list, limit, from) => {
    for (let at = from; at < list.length; at++) {
      const [, x, way, ladder] = list[at], one = measured(x, way(x));
      if (isClose(one, limit) && (!ladder || limit * stepAt(ladder, x) < 2n * x)) return [at, one];
    }
  };
  // Both ends, measured in the same way; nothing where one is too small.
  const range = (m, low, high, reader, tool) => {
    if (m.kind === "n") {
      const ends = [low, high].map(x => { const at = round(x, Q); return measured(x, [at, [[at, PIECE]]]); });
      return ends.every(one => one.at && isClose(one, m.limit)) && ends;
    }
    const lows = ways(m, low, reader, tool), highs = low === high ? lows : ways(m, high, reader, tool);
    for (let at = 0; ;) {
      const a = firstClose(lows, m.limit, at), b = a && (low === high ? a : firstClose(highs, m.limit, at));
      if (!b) return;
      if (a[0] === b[0]) return [a[1], b[1]];
      at = Math.max(a[0], b[0]);
    }
  };

  const words = ([low, high], join, adjective) => {
    const part = ([x, u]) => named(number(x, u), u, !adjective && (!x || x > size(u))),
      text = end => end.parts.map(part).join(end.spooned ? " + " : NB);
    if (low.at === high.at) return text(high);
    const list = low.parts.concat(high.parts).map(part => part[1]), [u] = list, last = list.at(-1);
    if (list.length === 2 && u === last) return number(low.at, u) + (join || "–") + text(high);
    const alike = list.slice(0, low.parts.length).join() === list.slice(low.parts.length).join();
    if (list.length === 2 || low.spooned || alike) return text(low) + (join || " to ") + text(high);
    const least = list.reduce((a, b) => size(b) < size(a) ? b : a);
    return number(low.at, least) + (join || "–") + part([high.at, least]);
  };
  const exactly = (low, high, u) => {
    const [from, to] = [low, high].map(x => figures(x, size(u)));
    const last = named(to, u, !/^(1|0\D.*)$/.test(to));
    return low === high ? last : from + "–" + last;
  };
  const moved = ends => {
    const [a, b] = ends.map(({ at, exact }) => decimal(100n * (at - exact), exact, 1));
    const text = abs(ends[0].at - ends[0].exact) * ends[1].exact > abs(ends[1].at - ends[1].exact) * ends[0].exact ? a : b;
    return text === "0" ? "" : (text[0] === "−" ? "" : "+") + text + NB + "%";
  };

  const measures = live.measures.map(([name, kind, low = 0, high = "", flags = 0, density]) => ({
    name, kind, low: ratio(low), high: ratio(high === "" ? low : high), moves: flags & 1,
    limit: flags & 2 ? 20n : 3n, density: density && ratio(density),
  }));
  const shown = (text, exact = "", moved = "", flags = 0) =>
    ({ text, exact, moved, about: !!(flags & 1), lost: !!(flags & 2), after: !!(flags & 4) });
  // What never grows comes ready in each system and on each thermometer.
  const picked = ({ kind }, ready, { units, degrees }) => {
    const one = ready["cd".includes(kind) ? DEGREES.indexOf(degrees) : READERS.indexOf(units)];
    return (one ?? 0) === 0 ? null : shown(...[].concat(one));
  };
  const reckoned = (m, role, row, choice) => {
    const [unit = 0, code = 0, flags = 0, prefix = "", suffix = "", suffix1 = "", join = "", kept = ""] = row;
    const own = (code / 25 | 0) % 3, tool = (code / 5 | 0) % 5, last = code % 5, counted = m.kind === "n",
      [a, b] = m.moves ? choice.scale : [1n, 1n], [c, d] = m.density || [1n, 1n],
      chosen = counted ? -1 : READERS.indexOf(choice.units);
    if (chosen >= 0 && role === 3) return shown(kept);
    const reader = chosen < 0 ? own : role !== 4 ? chosen : chosen ? 0 : own || live.customary,
      told = m.density && TOOLS[choice.by], beside = role === 3, lead = told ?? last,
      by = (role < 3 ? told : null) ?? (reader === own ? tool : last);
    if (a === b && (beside ? lead === last : reader === own && by === tool)) return null;
    Q = GRAIN * b * m.low[1] * m.high[1] * c * d;
    const [low, high] = [m.low, m.high].map(([over, under]) => over * a * Q / (under * b));
    const sentence = (text, single, about = "") => {
      const article = flags & 4 ? "a" : flags & 8 ? "A" : "", an = /^(8|1[18](?!\d))/.test(text) ? "n " : " ";
      return (article && article + an) + prefix + about + text + (counted && single === Q ? suffix1 : suffix);
    };
    const ends = range(m, low, high, reader, by), say = ends => words(ends, join, flags & 1);
    if (beside) {
      // A conversion in brackets goes where it would say once more what stands before it.
      const first = range(m, low, high, code / 75 | 0, lead);
      if (ends ? first && say(first) === say(ends) : a !== b) return shown(kept);
      if (a === b) return null;
    }
    const value = exactly(low, high, unit), exact = a === b ? "" : value;
    if (!ends) return shown(sentence(value, high), exact, "", 2);
    const about = ends[0].about || ends[1].about, text = say(ends);
    return shown(sentence(text, ends[1].at, about && !flags ? "about " : ""), exact, moved(ends), about ? 1 : 0);
  };

  const lowest = ([a, b]) => {
    let [x, y] = [a, b];
    while (y) [x, y] = [y, x % y];
    return [a / x, b / x];
  };
  // From a thousandth to a thousand batches: beyond is no kitchen.
  const sane = ([a, b]) => b && a <= 1000n * b && b <= 1000n * a ? lowest([a, b]) : null;
  return {
    show(mention, choice) {
      const [m, role, ...row] = live.mentions[mention];
      return role ? reckoned(measures[m], role, row, choice) : picked(measures[m], row, choice);
    },
    about(mention) {
      const { name, moves } = measures[live.mentions[mention][0]];
      return { name, scales: !!moves };
    },
    // 2.7, 2,7, 1 1/2, 1½, ½
    read(text) {
      for (const [glyph, a, b] of GLYPHS) text = text.replace(glyph, ` ${a}/${b}`);
      const found = /^(?:(\d{1,7})(?:[.,](\d{1,6}))?(?:\s+|$))?(?:(\d{1,3})\/(\d{1,3}))?$/.exec(text.trim());
      const [, n = "0", after = "", a = 0, b = 1] = found || [], p = 10n ** BigInt(after.length);
      const value = [BigInt(n + after) * BigInt(b) + BigInt(a) * p, p * BigInt(b)];
      return value[0] && value[1] ? value : null;
    },
    ratio: text => /^\d{1,18}(\/\d{1,18})?$/.test(text) ? sane(ratio(text)) : null,
    link: value => lowest(value).join("/").replace(/\/1$/, ""),
    print: value => fraction(...value),
    less: ([a, b], [c, d]) => a * d < c * b,
    units: kind => (live.inputs[kind] || []).map(u => [u, units[u].many]),
    // Of so many of a unit, how many batches there are, if one takes so many ticks.
    batches([a, b], unit, one) {
      const [c, d] = ratio(one);
      return sane([a * (unit ? units[unit].size : 1n) * d, b * c]);
    },
    up: value => value && [(value[0] + value[1] - 1n) / value[1], 1n],
  };
};
