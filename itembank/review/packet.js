"use strict";

// The reviewer's side of the packet: one page at a time, answer first, then the key; decisions
// facet by facet, kept in this browser (see kept.js), saved as a file.

(async function () {
  const data = JSON.parse(document.getElementById("items").textContent);
  const words = data.words;
  const place = "itembank-" + data.packet;
  const items = data.items;
  const byName = new Map(items.map((item) => [item.item, item]));
  const main = document.getElementById("main");
  const overview = document.getElementById("overview");
  const work = keptWork(place, notice);
  const { of, edit } = work;
  const me = () => work.folded(work.reviewer());
  const loaded = loadedFiles(place, data, work.folded, notice);
  const voices = severalVoices(data, loaded, of, me, work.folded);
  const family = familyWords(data);
  const queue = reviewQueue(data, (name) => ({
    status: status(name), kept: of(name), conflict: voices.disputed(byName.get(name)).length > 0,
  }));
  const reviewer = document.getElementById("reviewer");

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

  function line(tag, text, kind = "") {
    const made = document.createElement(tag);
    made.textContent = text;
    made.className = kind;
    return made;
  }

  function linkTo(item) {
    const made = line("a", item.seen[0].replace(/^title: /, ""));
    made.href = "#" + item.item;
    return made;
  }

  // ---------------------------------------------------------- the items, written out one by one

  async function unpacked() {
    const text = document.getElementById("packed").textContent;
    const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
    const whole = (await new Response(stream).text()).split("\0");
    return new Map(items.map((item, i) => [item.item, whole[i]]));
  }

  let markup;
  try {
    markup = await unpacked();
  } catch {
    notice("too old", {});
    return;
  }

  function written(name) {
    const box = document.createElement("div");
    box.innerHTML = markup.get(name);
    const page = box.firstElementChild;
    main.append(page);
    prepared(page);
    return page;
  }

  function paged() {
    for (const { item } of items) {
      if (!document.getElementById(item)) written(item).classList.add("paper");
    }
    for (const { item } of items) main.append(document.getElementById(item));
    for (const part of document.querySelectorAll(".evidence")) part.dataset.was ||= String(part.open);
    const evidence = document.getElementById("print-evidence").checked;
    main.classList.toggle("whole", evidence);
    for (const part of document.querySelectorAll(".evidence")) part.open = evidence;
  }

  function unpaged() {
    for (const page of document.querySelectorAll(".paper")) page.remove();
    for (const part of document.querySelectorAll(".evidence")) {
      part.open = part.dataset.was === "true";
      delete part.dataset.was;
    }
  }

  window.addEventListener("beforeprint", paged);
  window.addEventListener("afterprint", unpaged);

  // ---------------------------------------------------------- pages

  let current = null;

  function show(name, focus) {
    const item = byName.get(name);
    if (current && current.id !== name) {
      current.classList.remove("current");
      if (current !== overview) current.remove();
    }
    current = !item ? overview : document.getElementById(name) || written(name);
    current.classList.add("current");
    if (item) open(current);
    else tell();
    progress();
    document.getElementById("previous").disabled = !item;
    document.getElementById("next").disabled = !queue.from(item ? name : null, 1, queue.wanted);
    scrollable(current);
    if (focus) {
      window.scrollTo(0, 0);
      current.querySelector("h2").focus();
    }
  }

  // What scrolls by itself can be reached by Tab.  No other element's place is touched.
  function scrollable(page) {
    const boxes = [...page.querySelectorAll(".wide, .display, p:not([class]), dt, ol, li")];
    const wide = boxes.map((box) =>
      box.scrollWidth > box.clientWidth || box.scrollHeight > box.clientHeight + 1 &&
      box.classList.contains("wide"));
    boxes.forEach(function (box, i) {
      if (wide[i]) {
        box.tabIndex = 0;
        box.dataset.scrolls = "yes";
      } else if (box.dataset.scrolls) {
        box.removeAttribute("tabindex");
        delete box.dataset.scrolls;
      }
    });
  }

  const here = () => (current === overview ? null : current.id);

  function turn(name) {
    location.hash = name || "overview";
  }

  function onward() {
    const next = queue.undecided(here());
    if (!next) say(words["all decided"]);
    turn(next);
  }

  document.getElementById("previous").onclick = () => turn(queue.from(here(), -1, queue.wanted));
  document.getElementById("next").onclick = () => turn(queue.from(here(), 1, queue.wanted));
  document.getElementById("next-open").onclick = onward;
  window.addEventListener("hashchange", () => show(location.hash.slice(1), true));
  window.addEventListener("resize", () => scrollable(current));
  main.addEventListener("toggle", () => scrollable(current), true);

  // ---------------------------------------------------------- answering

  function open(page) {
    const item = byName.get(page.id), kept = of(page.id);
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

  function prepared(page) {
    const item = byName.get(page.id);
    const form = document.getElementById("decision-form").content.cloneNode(true);
    const facets = form.querySelector(".facets");
    fold(form, item);
    voices.returns(item).forEach((open, i) => facets.append(settling(open, i)));
    for (const field of form.querySelectorAll("input, textarea, label")) {
      for (const name of ["id", "name", "for"]) {
        const value = field.getAttribute(name);
        if (value) field.setAttribute(name, value.replace("ITEM", page.id));
      }
    }
    if (item.unread) {
      (form.querySelector(".all") || line("p", "")).remove();
      for (const radio of form.querySelectorAll("[value=accepted]")) radio.parentNode.remove();
    }
    others(form.querySelector(".others"), item);
    (page.querySelector(".decision") || line("p", "")).remove();
    page.append(form);
    restore(page, of(page.id));
  }

  // What is accepted as it is lies folded; to return it, it is unfolded.
  const asked = (item) => item.asked || data.facets;

  function fold(form, item) {
    const box = form.querySelector(".standing"), all = form.querySelector(".all");
    if (!item.asked) return box.remove();
    for (const [facet, { by, date }] of Object.entries(item.accepted)) {
      const set = form.querySelector("[data-facet=\"" + facet + "\"]");
      set.querySelector("legend").textContent = filled(words[date ? "accepted on" : "accepted by"], {
        facet: data.labels[facet], by, date,
      });
      box.append(set);
    }
    if (asked(item).length) all.textContent = words["accept asked"];
    else all.remove();
  }

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
      else familyLine(page, set, said);
    }
  }

  function reveal(page, blind) {
    const answer = answers.given(page), item = byName.get(page.id);
    edit(page.id, function (kept) {
      if (kept.blind) return;  // another tab has shown the key
      kept.given = answer;
      kept.blind = blind;
      if (blind === "answered") kept.agreed = answers.agrees(item, answers.told(item, answer));
    });
    restore(page, of(page.id));
    open(page);
    scrollable(page);
    page.querySelector(".outcome").focus();
    document.getElementById("heard").textContent = summary(page);
  }

  // What is heard when the key is shown: the key, and what of the evidence failed.
  function summary(page) {
    const key = page.querySelector(".revealed > section");
    const failed = [...page.querySelectorAll(".verdict.failed")]
      .map((verdict) => verdict.parentNode.querySelector("h3").textContent + ": " +
        verdict.textContent);
    return [spoken(key), ...(failed.length ? failed : [words.sound])].join(". ");
  }

  function spoken(element) {
    const copy = element.cloneNode(true);
    for (const formula of copy.querySelectorAll("math")) {
      formula.replaceWith(" " + (formula.getAttribute("alttext") || formula.textContent) + " ");
    }
    for (const part of copy.querySelectorAll("h3, li, p")) part.append("; ");
    return copy.textContent.replace(/\s+/g, " ").replace(/[; ]+$/, "");
  }

  function compare(page) {
    if (of(page.id).blind) return;
    if (answers.given(page).length) reveal(page, "answered");
    else say(words["answer first"]);
  }

  main.addEventListener("submit", function (event) {
    event.preventDefault();
    if (event.target.classList.contains("question")) compare(event.target.closest("article"));
  });

  // ---------------------------------------------------------- deciding

  const silent = (said) => said.verdict === "returned" && !readable(said.comment);

  // Whose answer differed says why the key is right before it is accepted.
  function owes(kept) {
    return kept.blind === "answered" && kept.agreed === false &&
      !Object.values(kept.facets).some((said) => readable(said.comment));
  }

  function allAccepted(name) {
    const facets = of(name).facets;
    return asked(byName.get(name)).every((facet) => (facets[facet] || {}).verdict === "accepted");
  }

  function status(name) {
    const kept = of(name), facets = kept.facets;
    const verdicts = data.facets.map((facet) => (facets[facet] || {}).verdict);
    if (verdicts.includes("returned")) {
      return data.facets.some((facet) => silent(facets[facet] || {})) ? "begun" : "returned";
    }
    if (byName.get(name).unread) return "open";
    if (allAccepted(name)) return verdicts.some(Boolean) && owes(kept) ? "begun" : "accepted";
    return verdicts.some(Boolean) ? "begun" : "open";
  }

  function tellItem(page) {
    const found = status(page.id), told = page.querySelector(".status");
    const kept = of(page.id);
    const unsaid = Object.values(kept.facets).some(silent) ||
      Object.values(kept.settled || {}).some((said) => said.verdict && !readable(said.comment));
    const why = found === "begun" && allAccepted(page.id);
    told.className = "status " + found;
    told.textContent = unsaid ? words["comment missing"] : why ? words["say why"] : words[found];
    page.querySelector(".undo").disabled = !undone.length;
    page.querySelector(".clear").disabled = ![kept.facets, kept.settled || {}].some((held) =>
      Object.values(held).some((said) => said.verdict || said.comment));
    progress();
  }

  function progress() {
    const done = items.filter((item) => ["accepted", "returned"].includes(status(item.item))).length;
    document.getElementById("progress").textContent = filled(words.progress, { done, all: items.length });
  }

  function tell() {
    first.tell();
    merged.differing();
    progress();
  }

  overview.addEventListener("input", function (event) {
    if (!event.target.closest(".queue")) return;
    tell();
    document.getElementById("next").disabled = !queue.from(null, 1, queue.wanted);
  });

  function said(set) {
    return {
      verdict: (set.querySelector("input:checked") || {}).value || "",
      comment: set.querySelector("textarea").value.trim(),
    };
  }

  // What was decided before each change in this tab, the last change last.
  const undone = [];

  function change(names, field, action) {
    const last = undone[undone.length - 1];
    if (!field || !last || last.field !== field) {
      undone.push({ field, before: names.map((name) => [name, structuredClone(of(name))]) });
    }
    for (const name of names) edit(name, (kept) => action(kept, name));
  }

  function undo() {
    const last = undone.pop();
    if (!last) return say(words["nothing undone"]);
    for (const [name, before] of last.before) {
      edit(name, function (kept) {
        kept.facets = before.facets;
        kept.settled = before.settled || {};
      });
    }
    const [[name]] = last.before;
    if (current.id !== name) turn(name);
    refresh();
    say(filled(words.undone, { title: linkTo(byName.get(name)).textContent }));
  }

  function clear(page) {
    change([page.id], "", function (kept) {
      kept.facets = {};
      kept.settled = {};
    });
    refresh();
    say(words.cleared);
  }

  // Only what was touched is taken down: another tab may have said more of the item.
  function takeDown(page, sets, field = "") {
    change([page.id], field, function (kept) {
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

  function acceptAll(page) {
    const wanted = asked(byName.get(page.id));
    const sets = [...page.querySelectorAll("[data-facet]")]
      .filter((set) => wanted.includes(set.dataset.facet));
    for (const set of sets) set.querySelector("[value=accepted]").checked = true;
    takeDown(page, sets);
    if (status(page.id) === "accepted") return true;
    unfold(page, true);
    sets[0].querySelector("textarea").focus();
    say(words["say why"]);
    return false;
  }

  function unfold(page, on) {
    page.querySelector(".decision").classList.toggle("unfolded", on);
    page.querySelector(".unfold").setAttribute("aria-expanded", String(on));
  }

  main.addEventListener("input", function (event) {
    const page = event.target.closest("article");
    if (!page) return;
    const set = event.target.closest(".decision fieldset");
    if (set) takeDown(page, [set], event.target.tagName === "TEXTAREA" ? event.target.id : "");
    else if (event.target.closest(".question")) {
      edit(page.id, (kept) => kept.blind || (kept.given = answers.given(page)));
    }
  });

  main.addEventListener("click", function (event) {
    const page = event.target.closest("article"), kind = event.target.classList;
    if (!page) return;
    if (kind.contains("quiet")) reveal(page, "asked");
    if (kind.contains("all")) acceptAll(page);
    if (kind.contains("onward")) onward();
    if (kind.contains("undo")) undo();
    if (kind.contains("clear")) clear(page);
    if (kind.contains("unfold")) {
      unfold(page, event.target.getAttribute("aria-expanded") === "false");
    }
  });

  // ---------------------------------------------------------- families judged once

  // Below a facet: from which variant its word comes and where this one differs, or how many
  // variants differ in numbers alone and can be told the same.
  function familyLine(page, set, word) {
    const facet = set.dataset.facet, item = byName.get(page.id);
    (set.querySelector(".family") || line("p", "")).remove();
    if (!family.judged(facet) || !word.verdict || item.unread) return;
    const box = line("div", "", "family"), from = word.like && byName.get(word.like);
    if (from) {
      box.append(line("p", filled(words["as judged"], { title: linkTo(from).textContent })));
      const list = line("ul", "");
      for (const [before, now] of family.differences(item, from, facet)) {
        list.append(line("li", filled(words["line differs"], { before, now })));
      }
      box.append(list);
    } else {
      const rest = family.others(item, facet)
        .filter((one) => asked(one).includes(facet) && !(of(one.item).facets[facet] || {}).verdict);
      if (!rest.length || silent(word)) return;
      box.append(button(filled(words["same of family"], { n: rest.length }), function () {
        change(rest.map((one) => one.item), "", function (kept) {
          kept.facets[facet] = { ...word, like: page.id };
        });
        refresh();
        page.querySelector("[data-facet=\"" + facet + "\"] input:checked").focus();
        say(filled(words["family told"], { n: rest.length }));
      }));
    }
    set.append(box);
  }

  // ---------------------------------------------------------- others' words, and settling

  function others(box, item) {
    box.replaceChildren();
    for (const one of voices.others(item)) {
      const told = Object.entries(one.facets).map(([facet, said]) =>
        data.labels[facet] + ": " + words[said.verdict] + (said.comment ? " (" + said.comment + ")" : ""));
      box.append(line("p", one.by + ", " + one.date + ": " + told.join("; ")));
    }
  }

  function settling(open, i) {
    const form = document.getElementById("settling-form").content.cloneNode(true);
    const set = form.querySelector("fieldset");
    set.dataset.settles = voices.returnName(open);
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
    const item = byName.get(page.id), mine = me();
    const open = voices.returns(item).find((one) => voices.returnName(one) === set.dataset.settles);
    const own = open && mine && mine === work.folded(open.by);
    const party = mine && (item.spoke || []).some((name) => work.folded(name) === mine);
    for (const field of set.querySelectorAll("input, textarea")) field.disabled = own || party;
    set.querySelector(".note").textContent =
      own ? words["own return"] : party ? words.party : words.third;
  }

  // ---------------------------------------------------------- saving

  const decisions = decisionsToSave({ data, items, work, voices, status, asked });

  function save() {
    named();
    if (!readable(work.reviewer()) || hiddenIn(work.reviewer())) {
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

  reviewer.value = work.reviewer();

  function named() {
    if (reviewer.value.trim() === work.reviewer()) return;
    work.rename(reviewer.value.trim());
    undone.length = 0;
    merged.forget();
    refresh();
  }

  function adopt(name, line) {
    work.adopt(name);
    line.remove();
    refresh();
  }

  // The page as its work is kept now: by this tab or another, for the reviewer of this name.
  function refresh() {
    if (current === overview) return tell();
    const focused = document.activeElement && document.activeElement.id;
    const inside = current.querySelector(".decision").contains(document.activeElement);
    const unfolded = current.querySelector(".decision").classList.contains("unfolded");
    if (!inside) {
      prepared(current);
      unfold(current, unfolded);
    } else restore(current, of(current.id));
    open(current);
    if (focused && document.activeElement === document.body) {
      (document.getElementById(focused) || current.querySelector("h2")).focus();
    }
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

  const first = firstPage(data, queue, status, words, filled);
  const merged = mergedFiles({
    work, me, items, data, voices, loaded, words, filled, say, notice, change, refresh, button, line,
    linkTo,
  });
  reviewKeys({
    page: () => (current === overview ? null : current),
    opened: () => current.classList.contains("open"),
    compare, reveal, onward, undo, acceptAll, unfold, takeDown, say, words,
    turn: (step) => turn(queue.from(here(), step, queue.wanted)),
    overview: () => turn(null),
  });
  show(location.hash.slice(1), false);
  work.watch(refresh);
  window.ready = true;
})();
