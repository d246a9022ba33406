"use strict";

// Files that are loaded: one's own is merged into one's work, those of others stand beside it.

// `act`: what the page offers: { work, me, items, voices, loaded, words, filled, say, notice,
// change, refresh, button, line, linkTo, data }.
function mergedFiles(act) {
  const { work, me, items, data, voices, loaded, words, filled, say, notice, change } = act;
  const { refresh, button, line, linkTo } = act;
  const of = work.of;
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
      const facets = voices.disputed(item);
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

  return { differing, forget: () => (twoWords.length = 0) };
}
