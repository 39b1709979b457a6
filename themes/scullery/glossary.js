// The search on the glossary's page: a word stays if its name or another form of it holds what was typed.
(() => {
  const box = document.getElementById("_find"),
    input = box.querySelector("input"),
    status = box.querySelector("p"),
    // Without accents and capitals, however they are typed.
    plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().trim(),
    names = (entry) => [...entry.querySelectorAll("h3, .also")].map((one) => plain(one.textContent.replace(/^also: /, ""))).join(", "),
    entries = [...document.querySelectorAll(".entry")].map((entry) => [entry, names(entry)]);
  const find = () => {
    const wanted = plain(input.value);
    let left = 0;
    for (const [entry, names] of entries) left += !(entry.hidden = !names.includes(wanted));
    for (const link of document.querySelectorAll(".letters a")) {
      const section = document.getElementById(decodeURIComponent(link.hash.slice(1))).parentNode;
      link.parentNode.hidden = section.hidden = !section.querySelector(".entry:not([hidden])");
    }
    status.textContent = !wanted ? "" : left ? `${left} of ${entries.length} words` : "No word like that is here.";
  };
  input.oninput = find;
  // Whoever is led to a word finds it, whatever was typed.
  addEventListener("hashchange", () => {
    if (!input.value) return;
    input.value = "";
    find();
    document.getElementById(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView();
  });
  box.hidden = false;
  // A browser that goes back brings what was typed.
  find();
})();
