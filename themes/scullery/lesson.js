// The page of a lesson: the bench, the live words and their notes, and what the link and the device remember.
const Lesson = (() => {
  const $ = (id) => document.getElementById(`_${id}`),
    all = (selector) => [...document.querySelectorAll(selector)],
    make = (tag, text, more) => Object.assign(document.createElement(tag), { textContent: text }, more);
  const write = (element, text) => {
    if (element.textContent !== text) element.textContent = text;
  };
  // A device that keeps nothing, and a browser that guards its address, still cook.
  const attempt = (action) => {
    try { return action(); } catch {}
  };
  // The data says the title of a step by its place in the list of steps.
  const titles = all(".glance a"),
    live = JSON.parse($("live").textContent.replace(/#(\d+)/g, (_, at) => titles[at].textContent)),
    kitchen = Kitchen(live),
    { print } = kitchen,
    form = $("form"),
    { by, amount, unit, u, t, m, s } = form,
    picks = [u, t, m],
    note = $("note"),
    lesson = document.querySelector("article").dataset.lesson,
    folder = location.pathname.replace(/[^/]*$/, ""),
    recall = (key) => attempt(() => JSON.parse(localStorage[folder + key])),
    keep = (key, value) => attempt(() => localStorage[folder + key] = JSON.stringify(value));

  // What differs from the lesson as written: scale, units, thermometer, measure, start, ways, the step at the stove.
  const state = { x: "", u: "", t: "", m: "", s: "", way: "", at: "" };
  const link = () => `${location.pathname}#${new URLSearchParams(Object.entries(state).filter(([, value]) => value))}`
    .replace("%2F", "/").replace(/#$/, "");

  // A piece without a number belongs to the mention before it.
  let whole;
  const words = all("[data-m]").map((span) => {
    const text = span.textContent,
      word = { span, mention: span.dataset.m, was: text, text, full: "", alt: span.closest(".alt, .other") };
    if (word.mention) whole = word;
    whole.full += text;
    if (word.mention && !span.closest("a, button")) {
      span.tabIndex = 0;
      span.role = "button";
      span.onclick = span.onkeydown = (event) => open(word, event);
    }
    return word;
  });
  // Moments of the plan: seconds from the start, one or from two on.
  const moments = all("[data-at]").map((place) => [place, place.textContent, place.dataset.at.split(" ")]);
  const show = (said) => {
    // At a fork a step of another way stands back.
    const ways = state.way.split(".");
    for (const part of all("[data-way]")) {
      const own = part.dataset.way.split(".");
      part.hidden = (live.forks || []).some((fork) => {
        const taken = ways.find((way) => fork.includes(way));
        return taken && own.some((way) => way !== taken && fork.includes(way));
      });
    }
    for (const [place, was, seconds] of moments)
      write(place, s.value ? seconds.map((second) => new Date(s.valueAsNumber + second * 1000).toISOString().slice(11, 16)).join("–") : was);
    let scale = kitchen.ratio(state.x);
    if (!scale || kitchen.link(scale) === "1") state.x = "";
    scale = kitchen.ratio(state.x || "1/1");
    const size = state.x && `×${print(scale)}`,
      limits = new Set();
    if (size) {
      for (const [name, most] of live.pots)
        if (kitchen.less(kitchen.ratio(most), scale)) limits.add(`The ${name} is too small for this batch.`);
      const [least, most] = (live.within || []).map(kitchen.ratio);
      if (least && (kitchen.less(scale, least) || kitchen.less(most, scale)))
        limits.add(`The recipe is meant for ×${print(least)} to ×${print(most)}.`);
      if (live.heats[0]) limits.add(`Timed for one batch: ${live.heats.join("; ")}.`);
      limits.add("Times, temperatures, cuts and card sizes stay.");
    }
    const choice = { scale, units: u.value, degrees: t.value, by: m.value },
      known = {};
    let shown;
    for (const word of words) {
      if (word.mention) {
        shown = word.shown = known[word.mention] ??= kitchen.show(word.mention, choice);
        const { name, scales } = kitchen.about(word.mention);
        if (shown?.lost) limits.add(`${name} is too small to measure: ${shown.exact}.`);
        if (shown?.about && scales && !word.alt) limits.add(`${name}: rounding moves it by ${shown.moved}.`);
      }
      word.next = !shown ? word.was : !word.mention ? "" : shown.after ? word.full + shown.text : shown.text;
    }
    for (const word of words) {
      if (word.next === word.text) continue;
      word.span.firstChild.data = word.text = word.next;
      word.span.classList.toggle("changed", word.text !== word.was);
      if (word.alt) word.alt.hidden = !word.text;
    }
    const picked = picks.filter((pick) => pick.value).map((pick) => pick.selectedOptions[0].text),
      now = [size, ...picked, state.way].filter(Boolean).join(" · ");
    $("reset").ariaPressed = !now;
    write($("reset"), now ? `${now}\nShow as written` : "As written");
    write($("status"), `${[said || size && `Scaled ${size}`, ...picked].filter(Boolean).join(". ") || "As written"}.`);
    $("limits").replaceChildren(...[...limits].map((text) => make("li", text)));
  };
  const change = (patch, said) => {
    Object.assign(state, patch);
    show(said);
    // The words first: what is remembered can wait for the next frame.
    setTimeout(() => {
      const { x, at, ...course } = state;
      keep("_course", course);
      keep(lesson, x);
      attempt(() => history.replaceState(null, "", link()));
    });
  };
  // A fragment without "=" leads to a place in the page.
  const linked = () => location.hash.includes("=");
  const load = () => {
    const given = linked() ? Object.fromEntries(new URLSearchParams(location.hash.slice(1))) : { ...recall("_course"), x: recall(lesson) };
    for (const key in state) state[key] = given[key] || "";
    let bad = state.x && !kitchen.ratio(state.x);
    for (const pick of picks) {
      pick.value = state[pick.name];
      if (pick.selectedIndex >= 0) continue;
      pick.value = state[pick.name] = "";
      bad = true;
    }
    s.value = state.s;
    show(bad && "I cannot read this link: what it changes is as written");
  };

  // What one may scale by: the words round the amount, its kind, the ticks of one batch, the unit to begin with.
  const asks = live.by,
    options = (select, rows) => select.replaceChildren(...rows.map(([value, text]) => new Option(text, value)));
  const fault = (text) => {
    amount.ariaInvalid = !!text;
    write($("fault"), text);
  };
  const ask = () => {
    const [, kind, , first] = asks[by.value], rows = kitchen.units(kind);
    options(unit, rows);
    unit.value = first ?? rows[0]?.[0];
    unit.parentNode.hidden = !rows[0];
    fault(amount.value = "");
  };
  const read = () => {
    const [label, kind, one] = asks[by.value];
    const given = kitchen.read(amount.value.trim()),
      scale = given && (kind === "s" ? kitchen.up : (batches) => batches)(kitchen.batches(given, unit.value, one));
    fault(scale ? "" : `I cannot read “${amount.value}” as an amount. Write it like 2.7, 1 1/2 or ½.`);
    if (!scale) return;
    const much = [print(given), unit.selectedOptions[0]?.text].join(" ").trim();
    change({ x: kitchen.link(scale) }, `${label.replace(/^I \w+/, "Scaled to").replace("…", much)}: ×${print(scale)}`);
  };
  form.onchange = ({ target }) => {
    if (target === by) ask();
    if (picks.includes(target) || target === s) change({ [target.name]: target.value });
  };
  form.onsubmit = (event) => {
    event.preventDefault();
    const x = event.submitter?.value;
    if (!x) return read();
    fault(amount.value = "");
    change({ x });
  };
  $("reset").onclick = () => {
    form.reset();
    if (asks[0]) ask();
    change({ x: "", u: "", t: "", m: "", s: "", way: "" });
  };
  $("print").onclick = () => self.print();
  $("share").onclick = async () => {
    const url = new URL(link(), location).href;
    try {
      if (navigator.share) return await navigator.share({ url });
      await navigator.clipboard.writeText(url);
      write($("status"), "Copied.");
    } catch {
      $("link").hidden = false;
      $("link").value = url;
      $("link").select();
    }
  };

  // A note says what a figure is and what became of it. Where the browser can, it stands beside its word.
  let opener;
  const open = ({ mention, shown, full, text }, event) => {
    if (!/^( |Enter)$/.test(event.key || " ")) return;
    event.preventDefault();
    const { name, scales } = kitchen.about(mention);
    note.textContent = [
      shown ? text : full, name, shown && `As written: ${full}`, shown?.exact && `Exactly: ${shown.exact}`,
      shown?.moved && `Rounded by ${shown.moved}`, !scales && "Does not change with the batch",
    ].filter(Boolean).join("\n");
    opener = event.currentTarget;
    note.hidden = false;
    note.showPopover?.({ source: opener });
    note.focus();
  };
  note.onblur = ({ relatedTarget }) => {
    note.hidden = true;
    note.hidePopover?.();
    if (!relatedTarget) opener.focus({ preventScroll: true });
  };
  note.onkeydown = (event) => {
    if (event.key !== "Escape") return;
    event.preventDefault();
    note.blur();
  };

  // Where the browser opens no notes, what words mean stands at the end of the page.
  if (!note.showPopover) self.onclick = ({ target }) => $(target.getAttribute("popovertarget")?.slice(1))?.scrollIntoView();

  options(by, asks.map(([label], index) => [index, label]));
  if (asks[0]) ask();
  form.firstElementChild.hidden = !asks[0];
  $("bench").hidden = !words.length;
  $("bar").hidden = false;
  addEventListener("hashchange", () => linked() && load());
  load();
  // The sums are read as they first run: once now, while the page rests, and not under the student's thumb.
  setTimeout(() => words.map(({ mention }) => mention && kitchen.show(mention, { scale: [2n, 3n], units: "us" })));
  // So is the stove fetched, or as soon as it is wanted: its style before its script. A page that gets by alone holds it.
  if (document.currentScript.src) {
    const sheet = make("link", "", { rel: "stylesheet", href: "later.css" }),
      bring = () => sheet.isConnected || document.head.prepend(sheet);
    let wanted;
    sheet.onload = sheet.onerror = () => document.head.append(make("script", "", { src: "stove.js", onload: () => wanted && $("cook").click() }));
    $("cook").onclick = () => bring(wanted = true);
    state.at ? bring() : addEventListener("load", () => (self.requestIdleCallback || setTimeout)(bring));
  }
  return { $, state, change, recall, keep, write, make };
})();
