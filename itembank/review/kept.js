"use strict";

// The reviewer's work as this browser keeps it: under the hash of the packet, apart for each
// reviewer's name, each item and each word on it with the time of its last edit.  Tabs merge: of
// each word the newest counts, and no tab writes over what another has kept.  What is damaged is
// set aside as it was, under a key of its own, and told.

function keptWork(place, told) {
  const isObject = (v) => v !== null && typeof v === "object" && !Array.isArray(v);
  const isText = (v) => typeof v === "string";
  const isTime = (v) => v === undefined || (Number.isFinite(v) && v >= 0 && v <= 8.64e15);
  const isWord = (v) =>
    isObject(v) && ["", "accepted", "returned"].includes(v.verdict) && isText(v.comment);
  const areWords = (v) => isObject(v) && Object.values(v).every(isWord);

  function isItem(v) {
    return isObject(v) && Array.isArray(v.given) && v.given.every(isText) && isTime(v.at) &&
      ["", "asked", "answered"].includes(v.blind) && areWords(v.facets) &&
      (v.settled === undefined || areWords(v.settled));
  }

  const folded = (name) => name.normalize("NFKC").trim().replace(/\s+/g, " ").toLowerCase();
  const keys = new Map();  // of names: asked for once an item, at every step

  function key(name) {
    if (!keys.has(name)) keys.set(name, "~" + folded(name));
    return keys.get(name);
  }

  const nobody = (name) => ({ name, items: {}, filed: {} });
  const state = { reviewer: "", people: {} };
  let writable = true;

  // ---------------------------------------------------------- reading and merging

  function soundPerson(found, faults) {
    const person = nobody(isText(found && found.name) ? found.name : "");
    if (!isObject(found) || !isObject(found.items) || !isText(found.name)) faults.push("person");
    for (const [name, item] of Object.entries((found && isObject(found.items) && found.items) || {})) {
      if (isItem(item)) person.items[name] = item;
      else faults.push(name);
    }
    for (const [name, at] of Object.entries((found && isObject(found.filed) && found.filed) || {})) {
      if (Number.isFinite(at)) person.filed[name] = at;
    }
    return person;
  }

  function sound(text) {
    const faults = [], kept = { reviewer: "", people: {} };
    let found = null;
    try {
      found = JSON.parse(text);
    } catch {
      faults.push("text");
    }
    if (isObject(found) && isText(found.reviewer)) kept.reviewer = found.reviewer;
    else faults.push("reviewer");
    if (isObject(found) && "items" in found) {  // as it was kept before names were told apart
      found.people = { [key(kept.reviewer)]: { name: kept.reviewer, items: found.items } };
    }
    if (isObject(found) && isObject(found.people)) {
      for (const [who, person] of Object.entries(found.people)) {
        kept.people[who] = soundPerson(person, faults);
      }
    } else faults.push("people");
    return [kept, faults.length > 0];
  }

  function aside(text) {
    let n = 1;
    while (![null, text].includes(localStorage.getItem(place + "-damaged-" + n))) n += 1;
    localStorage.setItem(place + "-damaged-" + n, text);
    told("damaged", { key: place + "-damaged-" + n });
  }

  function read() {
    let text = null;
    try {
      text = localStorage.getItem(place);
    } catch {
      writable = false;
    }
    if (text === null) return { reviewer: "", people: {}, damaged: false };
    const [kept, damaged] = sound(text);
    if (damaged && writable) {
      try {
        aside(text);
      } catch {  // no room to set it aside: then nothing is written over it
        writable = false;
      }
    }
    return { ...kept, damaged };
  }

  function later(a, b) {
    if (!a || !b) return a || b;
    const gap = (a.at || 0) - (b.at || 0);
    return gap > 0 || (gap === 0 && JSON.stringify(a) >= JSON.stringify(b)) ? a : b;
  }

  function laterWords(a = {}, b = {}) {
    const names = Object.keys({ ...a, ...b });
    return Object.fromEntries(names.map((name) => [name, later(a[name], b[name])]));
  }

  // Of an item the newest edit counts, and of each facet the newest word: a tab that has not heard
  // of the other's word yet takes nothing back.
  function newer(a, b) {
    if (!a || !b) return a || b;
    return { ...later(a, b), facets: laterWords(a.facets, b.facets),
      settled: laterWords(a.settled, b.settled) };
  }

  // Each word that was changed, or taken back, with the time of that.
  function stamped(before, item) {
    const bare = ({ at, ...word } = {}) => JSON.stringify(word);
    for (const held of ["facets", "settled"]) {
      const old = before[held] || {}, now = (item[held] ||= {});
      for (const name of Object.keys({ ...old, ...now })) {
        if (name in now && bare(old[name]) === bare(now[name])) continue;
        now[name] = { verdict: "", comment: "", ...now[name], at: item.at };
      }
    }
    return item;
  }

  // Takes in what other tabs have kept; in the place of what is damaged comes what this one knows.
  function pull() {
    const { people, damaged } = read();
    for (const [who, theirs] of Object.entries(people)) {
      const mine = (state.people[who] ||= nobody(theirs.name));
      for (const [name, item] of Object.entries(theirs.items)) {
        mine.items[name] = newer(mine.items[name], item);
      }
      for (const [name, at] of Object.entries(theirs.filed)) {
        mine.filed[name] = Math.max(mine.filed[name] || 0, at);
      }
    }
    if (damaged) push();
  }

  function push() {
    try {
      if (!writable) throw new Error("nothing may be written");
      localStorage.setItem(place, JSON.stringify(state));
    } catch {
      told("unkept", {});
    }
  }

  // ---------------------------------------------------------- one reviewer's work

  function person(name = state.reviewer) {
    return (state.people[key(name)] ||= nobody(name));
  }

  function of(name) {
    return person().items[name] || { given: [], blind: "", facets: {}, settled: {} };
  }

  // Changes an item as it is kept now, in whatever tab it was last changed.
  function edit(name, change) {
    pull();
    const item = structuredClone(of(name));
    item.settled ||= {};
    change(item);
    item.at = Math.max(Date.now(), (item.at || 0) + 1);
    person().items[name] = stamped(of(name), item);
    push();
  }

  function begun(name) {
    const items = person(name).items;
    return Object.keys(items).filter((item) =>
      [items[item].facets, items[item].settled || {}].some((words) =>
        Object.values(words).some((word) => word.verdict)));
  }

  function copy(from, to) {
    const source = person(from), target = person(to);
    for (const [name, item] of Object.entries(source.items)) {
      target.items[name] = newer(target.items[name], structuredClone(item));
    }
  }

  // Work begun before a name was given is that of the first who gives one; no other name inherits.
  function rename(name) {
    pull();
    const before = state.reviewer, known = Object.keys(person(name).items).length > 0;
    state.reviewer = name;
    person().name = name;
    if (folded(before) !== folded(name)) {
      if (!folded(before) && !known) {
        copy(before, name);
        for (const [name, item] of Object.entries(person("").items)) {
          const at = (item.at || 0) + 1;
          const empty = { given: [], blind: "", facets: {}, settled: {}, at };
          person("").items[name] = stamped(item, empty);
        }
      } else if (begun(before).length) told("another", { name: before, n: begun(before).length });
    }
    push();
  }

  function adopt(name) {
    pull();
    copy(name, state.reviewer);
    push();
  }

  function file(names) {
    for (const name of names) person().filed[name] = of(name).at || 0;
    push();
  }

  function unfiled() {
    return begun(state.reviewer).filter((name) => {
      const filed = person().filed[name];
      return filed === undefined || filed < (of(name).at || 0);
    });
  }

  function watch(changed) {
    const look = () => {
      pull();
      changed();
    };
    window.addEventListener("storage", (event) => event.key === place && look());
    window.addEventListener("pageshow", (event) => event.persisted && look());
    document.addEventListener("visibilitychange", () => document.hidden || look());
  }

  const first = read();
  state.reviewer = first.reviewer;
  pull();
  return { reviewer: () => state.reviewer, folded, of, edit, rename, adopt, file, unfiled, watch };
}
