"use strict";

// The reviewer's side of the packet: one page at a time, answer first, then the key; decisions
// facet by facet, kept in this browser (see kept.js), saved as a file.

(function () {
  const data = JSON.parse(document.getElementById("items").textContent);
  const words = data.words;
  const place = "itembank-" + data.packet;
  const items = data.items;
  const byName = new Map(items.map((item) => [item.item, item]));
  const main = document.getElementById("main");
  const work = keptWork(place, notice);
  const { of, edit } = work;

  function say(text) {
    const box = document.getElementById("said");
    box.textContent = text;
    clearTimeout(say.timer);
    say.timer = setTimeout(() => (box.textContent = ""), 6000);
  }

  function filled(text, values) {
    return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
  }

  // A line that stays until it is read: what was set aside, whose work is kept.
  function notice(kind, values) {
    const box = document.getElementById("notices"), line = document.createElement("p");
    const text = filled(words[kind], values);
    if ([...box.children].some((other) => other.dataset.text === text)) return;
    line.dataset.text = text;
    line.append(text, " ");
    if (kind === "another") line.append(button(words.adopt, () => adopt(values.name, line)));
    line.append(button(words.dismiss, () => line.remove()));
    box.append(line);
  }

  function button(text, action) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.onclick = action;
    return made;
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
    progress();
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
    if (texts.length) {
      const typed = texts.map((box) => box.value.trim());
      return typed.some(Boolean) ? typed : [];
    }
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
    if (!typed.length || !typed.every((part) => /^\+?\d+$/.test(part))) return false;
    return same(increasing(typed.map(BigInt)), increasing(values.map(BigInt)));
  }

  const told = (item, answer) => (item.parts ? answer : answer.filter(Boolean));

  function agrees(item, answer) {
    if (item.parts) {
      return item.parts.every((part, i) =>
        part.list ? lists(answer[i], part.list, part.none) : answer[i] === part.choice);
    }
    if (item.form === "integer") {
      const typed = answer[0].replace("\u2212", "-").replace(/\s/g, "");
      if (!/^[+-]?\d+$/.test(typed)) return false;
      const gap = BigInt(typed) - BigInt(item.key[0]);
      return item.modulus ? gap % BigInt(item.modulus) === 0n : gap === 0n;
    }
    if (item.form === "set") {
      const m = BigInt(item.modulus), typed = answer.map((part) => part.replace("\u2212", "-"));
      if (!typed.every((part) => /^[+-]?\d+$/.test(part))) return false;
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
    const opened = Boolean(kept.blind || item.unread);
    page.classList.toggle("open", opened);
    for (const box of page.querySelectorAll(".question input, .question select")) {
      box.disabled = opened;
    }
    const outcome = page.querySelector(".outcome");
    const word = kept.blind === "asked" ? "asked" : kept.agreed ? "agrees" : "differs";
    outcome.className = opened && !item.unread ? "outcome " + word : "outcome";
    outcome.textContent = opened && !item.unread ? words[word] : "";
    tellItem(page);
  }

  function prepared(page, kept) {
    if (page.dataset.ready) return;
    page.dataset.ready = "yes";
    const item = byName.get(page.id);
    const form = document.getElementById("decision-form").content.cloneNode(true);
    const before = form.querySelector(".status");
    fold(form, item);
    (item.returns || []).forEach((open, i) => before.before(settling(open, i)));
    for (const field of form.querySelectorAll("input, textarea, label")) {
      for (const name of ["id", "name", "for"]) {
        const value = field.getAttribute(name);
        if (value) field.setAttribute(name, value.replace("ITEM", page.id));
      }
    }
    if (item.unread) {
      form.querySelector(".actions").remove();
      for (const radio of form.querySelectorAll("[value=accepted]")) radio.parentNode.remove();
    }
    page.append(form);
    restore(page, kept);
  }

  // What is accepted as it is lies folded; to return it, it is unfolded.
  const asked = (item) => item.asked || data.facets;

  function fold(form, item) {
    const box = form.querySelector(".standing"), all = form.querySelector(".actions");
    if (!item.asked) return box.remove();
    for (const [facet, { by, date }] of Object.entries(item.accepted)) {
      const set = form.querySelector("[data-facet=\"" + facet + "\"]");
      set.querySelector("legend").textContent = filled(words[date ? "accepted on" : "accepted by"], {
        facet: data.labels[facet], by, date,
      });
      box.append(set);
    }
    if (asked(item).length) all.querySelector("button").textContent = words["accept asked"];
    else all.remove();
  }

  window.addEventListener("beforeprint", function () {
    for (const page of document.querySelectorAll("article")) prepared(page, of(page.id));
  });

  function put(field, text) {
    if (field.value !== text) field.value = text;
  }

  function restore(page, kept) {
    page.querySelectorAll(".question input[type=text], .question select").forEach(function (box, i) {
      put(box, kept.given[i] || "");
    });
    for (const box of page.querySelectorAll(".question input:not([type=text])")) {
      box.checked = kept.given.includes(box.value);
    }
    for (const set of page.querySelectorAll(".decision fieldset")) {
      const { facet, settles } = set.dataset;
      const said = (settles ? (kept.settled || {})[settles] : kept.facets[facet]) || {};
      for (const radio of set.querySelectorAll("input")) radio.checked = radio.value === said.verdict;
      if (set.querySelector("textarea").value.trim() !== said.comment) {
        put(set.querySelector("textarea"), said.comment || "");
      }
      if (settles) barred(page, set);
    }
  }

  function reveal(page, blind) {
    const answer = given(page);
    edit(page.id, function (kept) {
      if (kept.blind) return;  // another tab has shown the key
      kept.given = answer;
      kept.blind = blind;
      if (blind === "answered") {
        kept.agreed = agrees(byName.get(page.id), told(byName.get(page.id), answer));
      }
    });
    restore(page, of(page.id));
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

  const readable = (text) => /[\p{L}\p{N}]/u.test(text || "");
  const silent = (said) => said.verdict === "returned" && !readable(said.comment);

  function status(name) {
    const facets = of(name).facets;
    const verdicts = data.facets.map((facet) => (facets[facet] || {}).verdict);
    if (verdicts.includes("returned")) {
      return data.facets.some((facet) => silent(facets[facet] || {})) ? "begun" : "returned";
    }
    if (byName.get(name).unread) return "open";
    if (asked(byName.get(name)).every((facet) => (facets[facet] || {}).verdict === "accepted")) {
      return "accepted";
    }
    return verdicts.some(Boolean) ? "begun" : "open";
  }

  function tellItem(page) {
    const found = status(page.id), line = page.querySelector(".status");
    const kept = of(page.id);
    const unsaid = Object.values(kept.facets).some(silent) ||
      Object.values(kept.settled || {}).some((said) => said.verdict && !readable(said.comment));
    line.className = "status " + found;
    line.textContent = unsaid ? words["comment missing"] : words[found];
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
      const done = ["accepted", "returned"].includes(found);
      cell.closest("tr").hidden = done && document.getElementById("to-do").checked;
    }
    const line = document.getElementById("sample-now");
    const share = (Math.ceil(1000 * (1 - Math.pow(0.05, 1 / accepted))) / 10).toFixed(1);
    const bound = share.replace(".", data.decimal);
    if (returned) line.textContent = filled(words["sample returned"], { n: accepted, r: returned });
    else line.textContent = accepted ? filled(words.sample, { n: accepted, bound }) : "";
    progress();
  }

  function said(set) {
    return {
      verdict: (set.querySelector("input:checked") || {}).value || "",
      comment: set.querySelector("textarea").value.trim(),
    };
  }

  // Only what was touched is taken down: another tab may have said more of the item.
  function takeDown(page, sets) {
    edit(page.id, function (kept) {
      for (const set of sets) {
        const { facet, settles } = set.dataset, word = said(set);
        const held = settles ? kept.settled : kept.facets;
        if (word.verdict || word.comment) held[settles || facet] = word;
        else delete held[settles || facet];
      }
      if (byName.get(page.id).unread) kept.blind = "asked";
    });
    restore(page, of(page.id));
    tellItem(page);
  }

  main.addEventListener("input", function (event) {
    const page = event.target.closest("article");
    if (event.target.closest(".decision")) takeDown(page, [event.target.closest("fieldset")]);
    else if (event.target.closest(".question")) {
      edit(page.id, (kept) => kept.blind || (kept.given = given(page)));
    }
  });

  main.addEventListener("click", function (event) {
    const page = event.target.closest("article");
    if (event.target.classList.contains("quiet")) reveal(page, "asked");
    if (event.target.classList.contains("all")) {
      const wanted = asked(byName.get(page.id));
      const sets = [...page.querySelectorAll("[data-facet]")]
        .filter((set) => wanted.includes(set.dataset.facet));
      for (const set of sets) set.querySelector("[value=accepted]").checked = true;
      takeDown(page, sets);
    }
  });

  // ---------------------------------------------------------- settling

  const returnName = (open) => open.facet + " / " + work.folded(open.by);

  function settling(open, i) {
    const form = document.getElementById("settling-form").content.cloneNode(true);
    const set = form.querySelector("fieldset");
    set.dataset.settles = returnName(open);
    set.querySelector("legend").textContent = filled(
      words[open.date ? "returned on" : "returned by"], { ...open, facet: data.labels[open.facet] },
    );
    for (const field of set.querySelectorAll("input, textarea, label")) {
      for (const name of ["id", "name", "for"]) {
        const value = field.getAttribute(name);
        if (value) field.setAttribute(name, value.replace("PLACE", i));
      }
    }
    return form;
  }

  // Who returned it takes it back, and who has decided on the item is no third person.
  function barred(page, set) {
    const item = byName.get(page.id), me = work.folded(work.reviewer());
    const open = item.returns.find((one) => returnName(one) === set.dataset.settles);
    const own = me && me === work.folded(open.by);
    const party = me && item.spoke.some((name) => work.folded(name) === me);
    for (const field of set.querySelectorAll("input, textarea")) field.disabled = own || party;
    set.querySelector(".note").textContent =
      own ? words["own return"] : party ? words.party : words.third;
  }

  function settlements() {
    return items.flatMap((item) => (item.returns || []).flatMap(function (open) {
      const word = (of(item.item).settled || {})[returnName(open)] || {};
      if (!word.verdict || !readable(word.comment)) return [];
      return [{
        item: item.item, fingerprint: item.fingerprint, facet: open.facet, over: open.by,
        verdict: word.verdict, comment: word.comment,
        hashes: { [open.facet]: item.hashes[open.facet] },
      }];
    }));
  }

  // ---------------------------------------------------------- saving

  function today() {
    const now = new Date();
    const two = (n) => String(n).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function decisions() {
    const decided = items.filter((item) => ["accepted", "returned"].includes(status(item.item)) &&
      Object.values(of(item.item).facets).some((said) => said.verdict));
    return {
      format: data.format, pool: data.pool, term: data.term, packet: data.packet,
      shown: items.map((item) => item.fingerprint), reviewer: work.reviewer(), date: today(),
      settlements: settlements(),
      decisions: decided.map(function (item) {
        const kept = of(item.item);
        const facets = {}, hashes = {};
        for (const name of data.facets) {
          const said = kept.facets[name] || {};
          if (said.verdict) facets[name] = { verdict: said.verdict, comment: said.comment || "" };
          if (item.hashes && (said.verdict || asked(item).includes(name))) {
            hashes[name] = item.hashes[name];
          }
        }
        return {
          item: item.item, fingerprint: item.fingerprint, family: item.family, index: item.index,
          verdict: status(item.item), blind: kept.blind || "asked", given: told(item, kept.given),
          agreed: kept.blind === "answered" ? kept.agreed : null, facets, hashes, seen: item.seen,
        };
      }),
    };
  }

  function save() {
    named();
    if (!readable(work.reviewer()) || /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u.test(work.reviewer())) {
      say(words["name missing"]);
      reviewer.focus();
      return;
    }
    const file = decisions(), n = file.decisions.length + file.settlements.length;
    if (!n) return say(words.nothing);
    const text = JSON.stringify(file, null, 1) + "\n";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = [file.pool, file.term, file.reviewer.replace(/\W+/g, "-"), "decisions.json"]
      .filter(Boolean).join("-");
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    work.file([...file.decisions, ...file.settlements].map((one) => one.item));
    say(filled(words.saved, { n }));
  }

  document.getElementById("to-do").onchange = tell;

  const reviewer = document.getElementById("reviewer");
  reviewer.value = work.reviewer();

  function named() {
    if (reviewer.value.trim() === work.reviewer()) return;
    work.rename(reviewer.value.trim());
    refresh();
  }

  function adopt(name, line) {
    work.adopt(name);
    line.remove();
    refresh();
  }

  // Every page as its work is kept now: by this tab or another, for the reviewer of this name.
  function refresh() {
    for (const page of document.querySelectorAll("article[data-ready]")) {
      restore(page, of(page.id));
      open(page);
    }
    if (current.id === "overview") tell();
    progress();
  }

  reviewer.onchange = named;
  document.getElementById("save-form").addEventListener("submit", function (event) {
    event.preventDefault();
    save();
  });
  window.addEventListener("beforeunload", function (event) {
    if (!work.unfiled().length) return;
    event.preventDefault();
    event.returnValue = words.unsaved;
  });

  show(location.hash.slice(1), false);
  work.watch(refresh);
  window.ready = true;
})();
