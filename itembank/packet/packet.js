"use strict";

// The reviewer's side of the packet: one page at a time, answer first, then the key; decisions
// facet by facet, kept in this browser under the hash of the packet, saved as a file.

(function () {
  const data = JSON.parse(document.getElementById("items").textContent);
  const words = data.words;
  const place = "itembank-" + data.packet;
  const items = data.items;
  const byName = new Map(items.map((item) => [item.item, item]));
  const main = document.getElementById("main");
  const state = recalled();

  function recalled() {
    try {
      return Object.assign({ reviewer: "", items: {} }, JSON.parse(localStorage.getItem(place)));
    } catch {
      return { reviewer: "", items: {} };
    }
  }

  function keep() {
    try {
      localStorage.setItem(place, JSON.stringify(state));
    } catch {
      say(words.unkept);
    }
  }

  function say(text) {
    const box = document.getElementById("said");
    box.textContent = text;
    clearTimeout(say.timer);
    say.timer = setTimeout(() => (box.textContent = ""), 6000);
  }

  function filled(text, values) {
    return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
  }

  function of(name) {
    return (state.items[name] ||= { given: [], blind: "", facets: {} });
  }

  // ---------------------------------------------------------- pages

  let current = null;

  function show(name, focus) {
    const page = document.getElementById(name) || document.getElementById("overview");
    if (current) current.classList.remove("current");
    current = page.classList.contains("page") ? page : document.getElementById("overview");
    current.classList.add("current");
    if (current.id === "overview") tell();
    else open(current);
    const at = items.findIndex((item) => item.item === current.id);
    document.getElementById("previous").disabled = at < 0;
    document.getElementById("next").disabled = at === items.length - 1;
    scrollable(current);
    if (focus) {
      window.scrollTo(0, 0);
      current.querySelector("h2").focus();
    }
  }

  function scrollable(page) {
    for (const box of page.querySelectorAll(".wide, .display, p, li")) {
      if (box.scrollWidth > box.clientWidth + 1) box.tabIndex = 0;
      else box.removeAttribute("tabindex");
    }
  }

  function go(step) {
    const at = items.findIndex((item) => item.item === current.id) + step;
    location.hash = at < 0 ? "overview" : items[Math.min(at, items.length - 1)].item;
  }

  document.getElementById("previous").onclick = () => go(-1);
  document.getElementById("next").onclick = () => go(1);
  document.getElementById("next-open").onclick = function () {
    const at = items.findIndex((item) => item.item === current.id);
    const turned = items.slice(at + 1).concat(items.slice(0, at + 1));
    const next = turned.find((item) => !["accepted", "returned"].includes(status(item.item)));
    location.hash = next ? next.item : "overview";
  };
  window.addEventListener("hashchange", () => show(location.hash.slice(1), true));
  window.addEventListener("resize", () => scrollable(current));

  // ---------------------------------------------------------- answering

  function given(page) {
    const parts = [...page.querySelectorAll(".question .part")].map((box) => box.value.trim());
    if (parts.length) return parts.some(Boolean) ? parts : [];
    const texts = [...page.querySelectorAll(".question input[type=text]")];
    if (texts.length) return texts.map((box) => box.value.trim()).filter(Boolean);
    return [...page.querySelectorAll(".question input:checked")].map((box) => box.value);
  }

  function same(a, b) {
    return a.length === b.length && a.every((value, i) => value === b[i]);
  }

  function increasing(numbers) {
    return [...numbers].sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  }

  function lists(text, values, none) {
    if (text.toLowerCase() === none.toLowerCase()) return values.length === 0;
    const typed = text.replace(/[{}]/g, "").split(/[\s,;]+/).filter(Boolean);
    if (!typed.length || !typed.every((part) => /^\d+$/.test(part))) return false;
    return same(increasing(typed.map(BigInt)), increasing(values.map(BigInt)));
  }

  function agrees(item, answer) {
    if (item.parts) {
      return item.parts.every((part, i) =>
        part.list ? lists(answer[i], part.list, part.none) : answer[i] === part.choice);
    }
    if (item.form === "integer") {
      const typed = answer[0].replace("\u2212", "-").replace(/\s/g, "");
      if (!/^-?\d+$/.test(typed)) return false;
      const gap = BigInt(typed) - BigInt(item.key[0]);
      return item.modulus ? gap % BigInt(item.modulus) === 0n : gap === 0n;
    }
    if (item.form === "set") {
      const m = BigInt(item.modulus), typed = answer.map((part) => part.replace("\u2212", "-"));
      if (!typed.every((part) => /^-?\d+$/.test(part))) return false;
      const residues = typed.map((part) => ((BigInt(part) % m) + m) % m);
      return same(increasing(residues), increasing(item.key.map(BigInt)));
    }
    if (item.form === "list") return lists(answer[0], item.key, item.none);
    const plain = (part) => part.replace(/[\s{}]/g, "").toLowerCase();
    return same(answer.map(plain).sort(), item.key.map(plain).sort());
  }

  function open(page) {
    const item = byName.get(page.id), kept = of(page.id);
    prepared(page, kept);
    if (!kept.blind) return;
    const outcome = page.querySelector(".outcome");
    const word = kept.blind === "asked" ? "asked" : kept.agreed ? "agrees" : "differs";
    page.classList.add("open");
    outcome.className = "outcome " + word;
    outcome.textContent = words[word];
    for (const box of page.querySelectorAll(".question input, .question select")) {
      box.disabled = true;
    }
    tellItem(page);
  }

  function prepared(page, kept) {
    if (page.dataset.ready) return;
    page.dataset.ready = "yes";
    const form = document.getElementById("decision-form").content.cloneNode(true);
    for (const field of form.querySelectorAll("input, textarea, label")) {
      for (const name of ["id", "name", "for"]) {
        const value = field.getAttribute(name);
        if (value) field.setAttribute(name, value.replace("ITEM", page.id));
      }
    }
    page.append(form);
    restore(page, kept);
  }

  window.addEventListener("beforeprint", function () {
    for (const page of document.querySelectorAll("article")) prepared(page, of(page.id));
  });

  function restore(page, kept) {
    page.querySelectorAll(".question input[type=text], .question select").forEach(function (box, i) {
      box.value = kept.given[i] || "";
    });
    for (const box of page.querySelectorAll(".question input:not([type=text])")) {
      box.checked = kept.given.includes(box.value);
    }
    for (const set of page.querySelectorAll(".decision fieldset")) {
      const facet = kept.facets[set.dataset.facet] || {};
      for (const radio of set.querySelectorAll("input")) radio.checked = radio.value === facet.verdict;
      set.querySelector("textarea").value = facet.comment || "";
    }
  }

  function reveal(page, blind) {
    const kept = of(page.id);
    kept.given = given(page);
    kept.blind = blind;
    if (blind === "answered") kept.agreed = agrees(byName.get(page.id), kept.given);
    keep();
    open(page);
    scrollable(page);
    page.querySelector(".outcome").focus();
  }

  main.addEventListener("submit", function (event) {
    event.preventDefault();
    const page = event.target.closest("article");
    if (!event.target.classList.contains("question") || of(page.id).blind) return;
    if (given(page).length) reveal(page, "answered");
    else say(words["answer first"]);
  });

  // ---------------------------------------------------------- deciding

  function status(name) {
    const facets = (state.items[name] || { facets: {} }).facets;
    const verdicts = data.facets.map((facet) => (facets[facet] || {}).verdict);
    if (verdicts.includes("returned")) {
      return data.facets.every((f) => (facets[f] || {}).verdict !== "returned" || facets[f].comment)
        ? "returned"
        : "begun";
    }
    if (verdicts.every((verdict) => verdict === "accepted")) return "accepted";
    return verdicts.some(Boolean) ? "begun" : "open";
  }

  function tellItem(page) {
    const found = status(page.id), line = page.querySelector(".status");
    const facets = Object.values(of(page.id).facets);
    const silent = facets.some((f) => f.verdict === "returned" && !f.comment);
    line.className = "status " + found;
    line.textContent = silent ? words["comment missing"] : words[found];
    progress();
  }

  function progress() {
    const done = items.filter((item) => ["accepted", "returned"].includes(status(item.item))).length;
    document.getElementById("progress").textContent = filled(words.progress, { done, all: items.length });
  }

  function tell() {
    let accepted = 0, returned = 0;
    for (const cell of document.querySelectorAll("[data-status]")) {
      const found = status(cell.dataset.status);
      accepted += found === "accepted";
      returned += found === "returned";
      cell.textContent = words[found];
      cell.className = found;
    }
    const line = document.getElementById("sample-now");
    const bound = (Math.ceil(1000 * (1 - Math.pow(0.05, 1 / accepted))) / 10).toFixed(1);
    if (returned) line.textContent = filled(words["sample returned"], { n: accepted, r: returned });
    else line.textContent = accepted ? filled(words.sample, { n: accepted, bound }) : "";
    progress();
  }

  function takeDown(page) {
    const kept = of(page.id);
    kept.facets = {};
    for (const set of page.querySelectorAll(".decision fieldset")) {
      const verdict = (set.querySelector("input:checked") || {}).value || "";
      const comment = set.querySelector("textarea").value.trim();
      if (verdict || comment) kept.facets[set.dataset.facet] = { verdict, comment };
    }
    keep();
    tellItem(page);
  }

  main.addEventListener("input", function (event) {
    const page = event.target.closest("article");
    if (event.target.closest(".decision")) takeDown(page);
    else if (event.target.closest(".question")) {
      of(page.id).given = given(page);
      keep();
    }
  });

  main.addEventListener("click", function (event) {
    const page = event.target.closest("article");
    if (event.target.classList.contains("quiet")) reveal(page, "asked");
    if (event.target.classList.contains("all")) {
      for (const radio of page.querySelectorAll("input[value=accepted]")) radio.checked = true;
      takeDown(page);
    }
  });

  // ---------------------------------------------------------- saving

  function today() {
    const now = new Date();
    const two = (n) => String(n).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function decisions() {
    const decided = items.filter((item) => ["accepted", "returned"].includes(status(item.item)));
    return {
      format: data.format, pool: data.pool, term: data.term, packet: data.packet,
      reviewer: state.reviewer, date: today(),
      decisions: decided.map(function (item) {
        const kept = of(item.item);
        const facets = {};
        for (const name of data.facets) {
          const said = kept.facets[name] || {};
          if (said.verdict) facets[name] = { verdict: said.verdict, comment: said.comment || "" };
        }
        return {
          item: item.item, fingerprint: item.fingerprint, family: item.family, index: item.index,
          verdict: status(item.item), blind: kept.blind, given: kept.given,
          agreed: kept.blind === "answered" ? kept.agreed : null, facets, seen: item.seen,
        };
      }),
    };
  }

  function save() {
    const name = document.getElementById("reviewer");
    if (!state.reviewer) {
      say(words["name missing"]);
      name.focus();
      return;
    }
    const file = decisions();
    if (!file.decisions.length) return say(words.nothing);
    const text = JSON.stringify(file, null, 1) + "\n";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = [file.pool, file.term, file.reviewer.replace(/\W+/g, "-"), "decisions.json"]
      .filter(Boolean).join("-");
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    say(filled(words.saved, { n: file.decisions.length }));
  }

  const reviewer = document.getElementById("reviewer");
  reviewer.value = state.reviewer;
  reviewer.oninput = function () {
    state.reviewer = reviewer.value.trim();
    keep();
  };
  document.getElementById("save-form").addEventListener("submit", function (event) {
    event.preventDefault();
    save();
  });

  show(location.hash.slice(1), false);
  window.ready = true;
})();
