// At the stove: one step at a time, its timers, and a screen that stays on.
(() => {
  const { $, state, change, recall, keep, write, make } = Lesson;
  const steps = [...document.querySelectorAll(".step")],
    heading = (step) => step.querySelector("[id]"),
    button = (text, onclick) => make("button", text, { onclick }),
    page = document.body.classList;
  let now, lock, audio;

  // Neighbouring steps that name a way stand for each other: one run, one choice.
  const runs = new Map();
  steps.forEach((step, index) => {
    const { way } = step.dataset;
    if (way) runs.set(step, (runs.get(steps[index - 1]) || new Set()).add(way));
  });
  const chosen = (run) => state.way.split(".").find((way) => run.has(way)) || [...run][0],
    walk = () => steps.filter((step) => !runs.has(step) || chosen(runs.get(step)) === step.dataset.way),
    radios = [];
  for (const run of new Set(runs.values())) {
    for (const value of run.size > 1 ? run : []) {
      const radio = make("input", "", { type: "radio", name: [...run], value });
      const label = make("label");
      label.append(radio, ` ${value}`);
      $("ways").append(label);
      radios.push(radio);
    }
  }
  $("ways").onchange = () => {
    change({ way: radios.filter((radio) => radio.checked).map((radio) => radio.value).join(".") });
    // A step that the new way leaves out gives place to its like.
    if (!walk().includes(now)) go(walk().find((step) => runs.get(step) === runs.get(now)));
  };

  const go = (step) => {
    const path = walk();
    now?.classList.remove("now");
    now = step;
    now.classList.add("now");
    const picked = [...runs.values()].map(chosen);
    for (const radio of radios) radio.checked = picked.includes(radio.value);
    // The question stands at the start, and again where it can still be changed.
    $("ways").hidden = !radios[0] || now !== path[0] && !runs.has(now);
    now.querySelector(".plate").prepend($("ask"));
    $("back").disabled = now === path[0];
    $("next").disabled = now === path.at(-1);
    write($("leave"), `Step ${now.value} of ${steps.length}\nLeave`);
    change({ at: now.dataset.step });
    heading(now).tabIndex = -1;
    heading(now).focus();
    scrollTo({ top: 0, behavior: "instant" });
  };
  const turn = (by) => {
    const path = walk();
    go(path[Math.max(0, Math.min(path.indexOf(now) + by, path.length - 1))]);
  };
  const wake = async () => {
    try {
      lock = await navigator.wakeLock.request("screen");
      $("sleep").hidden = true;
    } catch {
      $("sleep").hidden = false;
    }
  };
  const enter = (step) => {
    page.add("stove");
    $("ask").hidden = false;
    go(step);
    wake();
  };
  const leave = () => {
    page.remove("stove");
    $("ask").hidden = true;
    change({ at: "" });
    lock?.release();
    heading(now).focus();
    heading(now).scrollIntoView();
  };
  const follow = () => {
    const step = steps.find(({ dataset }) => dataset.step === state.at);
    if (!step) return;
    // Whoever is sent to a step is sent its way.
    if (!walk().includes(step)) state.way = `${step.dataset.way}.${state.way}`;
    enter(step);
  };
  $("cook").onclick = () => enter(now || walk()[0]);
  $("leave").onclick = leave;
  $("back").onclick = () => turn(-1);
  $("next").onclick = () => turn(1);
  const far = steps.length,
    keys = { ArrowLeft: -1, PageUp: -1, ArrowRight: 1, PageDown: 1, Home: -far, End: far, Escape: 0 };
  addEventListener("keydown", (event) => {
    const by = keys[event.key];
    if (by === undefined || !page.contains("stove") || event.defaultPrevented || event.altKey || event.target.type === "radio") return;
    // It closes the note of a word first. An older browser reads the inner selector as none.
    if (!by && document.querySelector(":is(:popover-open)")) return;
    event.preventDefault();
    by ? turn(by) : leave();
  });
  addEventListener("visibilitychange", () => !document.hidden && page.contains("stove") && wake());

  // A timer is kept as its end, not as ticks: it outlives a reload and a phone that sleeps.
  const { title } = document;
  let timers = recall("_timers") || [];
  const tick = () => {
    const up = timers.filter(({ end }, index) => {
      const left = Math.ceil((end - Date.now()) / 1000);
      const clock = [left / 3600, left / 60 % 60, left % 60].map((part) => `${Math.floor(part)}`.padStart(2, 0)).join(":");
      write($("timers").children[index].querySelector("b"),
        left > 0 ? clock.replace(/^00:/, "") : left > -60 ? "done" : `done, ${Math.floor(-left / 60)} min ago`);
      return left <= 0;
    });
    write($("ring"), up.map(({ name }) => `Time is up. ${name}`).join("\n"));
    document.title = $("ring").textContent || title;
    if (!audio || !up[0]) return;
    navigator.vibrate?.(300);
    const tone = audio.createOscillator();
    tone.connect(audio.destination);
    tone.start();
    tone.stop(audio.currentTime + 0.3);
  };
  const draw = () => {
    $("shelf").hidden = !timers.length;
    $("timers").replaceChildren(...timers.map((timer) => {
      const row = make("li", timer.name);
      const more = (minutes) => button(`${minutes > 0 ? "+" : "−"}1 min`, () => {
        timer.end = Math.max(timer.end, Date.now()) + minutes * 60000;
        store();
      });
      row.append(make("b"), more(1), more(-1), button("Stop", () => {
        timers.splice(timers.indexOf(timer), 1);
        draw();
        store();
        // Only the one that is shown takes it.
        $("cook").focus();
        $("next").focus();
      }));
      return row;
    }));
    tick();
  };
  const store = () => {
    keep("_timers", timers);
    tick();
  };
  for (const span of document.querySelectorAll(".step [data-t]")) {
    const place = span.closest("dd"),
      time = span.textContent,
      what = place.firstChild.data || `${place.parentNode.firstElementChild.textContent} `;
    place.append(button(`Start ${time.replace(/^(\S+)–(\S+)\s(\S+)$/, "$1 $3 (to $2)")}`, () => {
      timers.push({ name: `${heading(span.closest(".step")).textContent}: ${what}${time}`, end: Date.now() + span.dataset.t * 1000 });
      draw();
      store();
    }));
  }
  // Browsers let a page sound only after a tap.
  addEventListener("click", () => timers[0] && (audio ??= new AudioContext()).resume());
  addEventListener("storage", () => {
    timers = recall("_timers") || [];
    draw();
  });
  setInterval(tick, 1000);
  draw();
  addEventListener("hashchange", follow);
  follow();
})();
