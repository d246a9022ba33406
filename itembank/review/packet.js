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
  const family = familyWords(data);
  const queue = reviewQueue(data, (name) => ({
    status: status(name), kept: of(name), conflict: disputed(byName.get(name)).length > 0,
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
    const boxes = [...page.querySelectorAll(".wide, .display, p:not([class]), li")];
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
    returnsOf(item).forEach((open, i) => facets.append(settling(open, i)));
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
    page.querySelector(".clear").disabled = ![kept.facets, kept.settled || {}].some((said) => Object.keys(said).length);
    progress();
  }

  function progress() {
    const done = items.filter((item) => ["accepted", "returned"].includes(status(item.item))).length;
    document.getElementById("progress").textContent = filled(words.progress, { done, all: items.length });
  }

  const percent = (share) =>
    (Math.ceil(1000 * share - 1e-9) / 10).toFixed(1).replace(".", data.decimal);

  function tell() {
    let accepted = 0, returned = 0;
    const body = overview.querySelector(".items tbody"), list = queue.list();
    for (const cell of body.querySelectorAll("[data-status]")) {
      const found = status(cell.dataset.status);
      accepted += found === "accepted";
      returned += found === "returned";
      cell.textContent = words[found];
      cell.className = found;
    }
    arrange(body, list);
    const line = document.getElementById("sample-now");
    if (returned) line.textContent = filled(words["sample returned"], { n: accepted, r: returned });
    else {
      const bound = percent(queue.bound(accepted, 0));
      line.textContent = accepted ? filled(words.sample, { n: accepted, bound }) : "";
    }
    plan();
    differing();
    progress();
  }

  function arrange(body, list) {
    const rows = new Map([...body.rows].map((row) =>
      [row.querySelector("[data-status]").dataset.status, row]));
    const wanted = new Set(list.map((item) => item.item));
    for (const { item } of queue.ordered()) {
      rows.get(item).hidden = !wanted.has(item);
      body.append(rows.get(item));
    }
    document.getElementById("queue-length").textContent =
      filled(words["queue length"], { n: list.length, all: items.length });
  }

  function plan() {
    const { n, returned } = queue.sample();
    const more = queue.left(n, returned, 0.05);
    document.getElementById("sample-plan").textContent = n
      ? filled(words["sample drawn"], { n, r: returned, bound: percent(queue.bound(n, returned)), more })
      : filled(words["sample plan"], { more });
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

  function othersOn(item) {
    return loaded.on(item, me());
  }

  function others(box, item) {
    box.replaceChildren();
    for (const one of othersOn(item)) {
      const told = Object.entries(one.facets).map(([facet, said]) =>
        data.labels[facet] + ": " + words[said.verdict] + (said.comment ? " (" + said.comment + ")" : ""));
      box.append(line("p", one.by + ", " + one.date + ": " + told.join("; ")));
    }
  }

  // The returns on record, and those of loaded files.
  function returnsOf(item) {
    const found = [...(item.returns || [])];
    const known = new Set(found.map(returnName));
    for (const one of othersOn(item)) {
      for (const [facet, said] of Object.entries(one.facets)) {
        const open = { facet, by: one.by, date: one.date, comment: said.comment };
        if (said.verdict === "returned" && !known.has(returnName(open))) found.push(open);
      }
    }
    return found;
  }

  // The facets that one reviewer accepts and another returns.
  function disputed(item) {
    const kept = of(item.item);
    const voices = [kept.facets, ...othersOn(item).map((one) => one.facets)];
    return data.facets.filter(function (facet) {
      const found = voices.map((facets) => (facets[facet] || {}).verdict);
      const settled = Object.entries(kept.settled || {}).some(([name, word]) =>
        name.startsWith(facet + " / ") && word.verdict && readable(word.comment));
      return found.includes("accepted") && found.includes("returned") && !settled;
    });
  }

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
    const item = byName.get(page.id), mine = me();
    const open = returnsOf(item).find((one) => returnName(one) === set.dataset.settles);
    const own = open && mine && mine === work.folded(open.by);
    const party = mine && (item.spoke || []).some((name) => work.folded(name) === mine);
    for (const field of set.querySelectorAll("input, textarea")) field.disabled = own || party;
    set.querySelector(".note").textContent =
      own ? words["own return"] : party ? words.party : words.third;
  }

  function settlements() {
    return items.flatMap((item) => returnsOf(item).flatMap(function (open) {
      const word = (of(item.item).settled || {})[returnName(open)] || {};
      if (!word.verdict || !readable(word.comment)) return [];
      return [{
        item: item.item, fingerprint: item.fingerprint, facet: open.facet, over: open.by,
        verdict: word.verdict, comment: word.comment,
        hashes: item.hashes ? { [open.facet]: item.hashes[open.facet] } : {},
      }];
    }));
  }

  // ---------------------------------------------------------- files that are loaded

  const twoWords = [];  // of one's own: what a file says other than what is kept here

  async function load(file) {
    const [found, fault] = decisionFiles.read(await file.text(), data, work.folded);
    if (fault) return notice("file refused", {
      file: file.name, why: filled(words[fault[0]], { found: fault[1] }),
    });
    if (me() && work.folded(found.reviewer) === me()) merge(found);
    else {
      loaded.add(found);
      const held = new Set(items.map((item) => item.fingerprint));
      const n = found.decisions.filter((one) => held.has(one.fingerprint)).length;
      say(filled(words.loaded, { name: found.reviewer, n, all: found.decisions.length }));
    }
    refresh();
  }

  // One's own file: what is not decided here is taken, where both say something else one chooses.
  function merge(file) {
    let n = 0;
    for (const one of file.decisions) {
      const item = items.find((held) => held.fingerprint === one.fingerprint);
      if (!item) continue;
      const kept = of(item.item);
      const begun = Object.values(kept.facets).some((word) => word.verdict);
      const verdicts = (facets) => data.facets.map((facet) =>
        ((facets[facet] || {}).verdict || "") + " " + ((facets[facet] || {}).comment || "").trim());
      if (!begun) {
        change([item.item], "", (kept) => taken(kept, one));
        n += 1;
      } else if (verdicts(kept.facets).join() !== verdicts(one.facets).join()) {
        twoWords.push({ item, one });
      }
    }
    say(filled(words.merged, { n, all: file.decisions.length }));
  }

  function taken(kept, one) {
    if (!kept.blind) {
      kept.blind = one.blind;
      kept.given = one.given;
      if (one.blind === "answered") kept.agreed = one.agreed;
    }
    kept.facets = {};
    for (const [facet, { verdict, comment }] of Object.entries(one.facets)) {
      kept.facets[facet] = { verdict, comment: comment || "" };
    }
  }

  function differing() {
    const list = document.getElementById("loaded"), box = document.getElementById("conflicts");
    list.replaceChildren(...loaded.all().map(function (file) {
      const row = line("li", filled(words["loaded file"], {
        name: file.reviewer, date: file.date, n: file.decisions.length,
      }) + " ");
      row.append(button(words.remove, () => (loaded.remove(file), refresh())));
      return row;
    }));
    const rows = twoWords.map(function (both) {
      const row = line("li", "");
      const settle = (take) => function () {
        if (take) change([both.item.item], "", (kept) => taken(kept, both.one));
        twoWords.splice(twoWords.indexOf(both), 1);
        refresh();
      };
      row.append(linkTo(both.item), " " + words["two words"] + " ",
        button(words["keep this"], settle(false)), " ", button(words["take file"], settle(true)));
      return row;
    });
    for (const item of items) {
      const facets = disputed(item);
      if (!facets.length) continue;
      const row = line("li", "");
      row.append(linkTo(item), ": " + facets.map((facet) => data.labels[facet]).join(", "));
      rows.push(row);
    }
    box.replaceChildren();
    if (!rows.length) return;
    const all = line("ul", "");
    all.append(...rows);
    box.append(line("h4", words["words differ"]), all);
  }

  document.getElementById("load").onchange = async function (event) {
    for (const file of event.target.files) await load(file);
    event.target.value = "";
    event.target.dataset.done = "yes";
  };

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
          verdict: status(item.item), blind: kept.blind || "asked",
          given: answers.told(item, kept.given),
          agreed: kept.blind === "answered" ? kept.agreed : null, facets, hashes, seen: item.seen,
        };
      }),
    };
  }

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
    undone.length = twoWords.length = 0;
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
