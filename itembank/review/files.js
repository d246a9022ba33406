"use strict";

// Files of decisions: one's own as it is saved, and others as they are loaded.  What is loaded is
// input like any other: a name that shows nothing, a day that is none, a hash that is none, two
// words on one item are refused with a reason, and nothing of the file is taken.

const readable = (text) => typeof text === "string" && /[\p{L}\p{N}]/u.test(text);
const hiddenIn = (text) => /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u.test(text);

const decisionFiles = (function () {
  const HASH = /^[0-9a-f]{64}$/;
  const VERDICTS = ["accepted", "returned"];
  const isObject = (v) => v !== null && typeof v === "object" && !Array.isArray(v);
  const isText = (v) => typeof v === "string" && v.length <= 20000;

  class Fault extends Error {}

  function hold(condition, kind, found) {
    if (!condition) throw new Fault(JSON.stringify([kind, String(found).slice(0, 120)]));
  }

  function isDay(date) {
    const found = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date);
    if (!found) return false;
    const [year, month, day] = found.slice(1).map(Number);
    const real = new Date(Date.UTC(year, month - 1, day));
    return year >= 2000 && year < 2100 && real.getUTCMonth() === month - 1 &&
      real.getUTCDate() === day;
  }

  function name(text) {
    hold(isText(text) && readable(text) && !hiddenIn(text) && text.length <= 200, "file name", text);
  }

  function hashes(found, facets) {
    hold(isObject(found), "file shape", "hashes");
    for (const [facet, mark] of Object.entries(found)) {
      hold(facets.includes(facet) && HASH.test(mark), "file hash", mark);
    }
  }

  function decision(one, facets) {
    hold(isObject(one) && isText(one.item) && isObject(one.facets), "file shape", "decisions");
    hold(HASH.test(one.fingerprint), "file hash", one.fingerprint);
    hold(["asked", "answered"].includes(one.blind), "file shape", one.blind);
    hold(Array.isArray(one.given) && one.given.every(isText), "file shape", "given");
    hold([true, false, null].includes(one.agreed), "file shape", one.agreed);
    hashes(one.hashes || {}, facets);
    const asked = Object.keys(one.hashes || {}).length ? Object.keys(one.hashes) : facets;
    const verdicts = Object.entries(one.facets).map(function ([facet, said]) {
      hold(asked.includes(facet) && isObject(said), "file shape", facet);
      hold(VERDICTS.includes(said.verdict) && isText(said.comment || ""), "file shape", facet);
      hold(said.verdict === "accepted" || readable(said.comment), "file comment", one.item);
      return said.verdict;
    });
    const whole = verdicts.length === asked.length && !verdicts.includes("returned");
    hold(VERDICTS.includes(one.verdict) && whole === (one.verdict === "accepted") &&
      (whole || verdicts.includes("returned")), "file verdict", one.item);
  }

  function settlement(one, facets) {
    hold(isObject(one) && isText(one.item), "file shape", "settlements");
    hold(HASH.test(one.fingerprint), "file hash", one.fingerprint);
    hold(facets.includes(one.facet) && VERDICTS.includes(one.verdict), "file shape", one.facet);
    name(one.over);
    hold(readable(one.comment), "file comment", one.item);
    hashes(one.hashes || {}, facets);
  }

  function once(names) {
    const seen = new Set();
    for (const one of names) {
      hold(!seen.has(one), "file twice", one);
      seen.add(one);
    }
  }

  function checked(file, data, folded) {
    hold(isObject(file) && file.format === data.format, "file format", (file || {}).format);
    hold(file.pool === data.pool && file.term === data.term, "file pool",
      file.pool + " " + file.term);
    name(file.reviewer);
    hold(isText(file.date) && isDay(file.date), "file date", file.date);
    hold(HASH.test(file.packet), "file hash", file.packet);
    hold((file.shown || []).every((mark) => HASH.test(mark)), "file hash", "shown");
    hold(Array.isArray(file.decisions) && Array.isArray(file.settlements || []),
      "file shape", "decisions");
    for (const one of file.decisions) decision(one, data.facets);
    for (const one of file.settlements || []) settlement(one, data.facets);
    once(file.decisions.map((one) => one.item));
    once((file.settlements || []).map((one) =>
      [one.item, one.facet, folded(one.over)].join(" / ")));
    const shown = new Set(file.shown || []);
    for (const one of shown.size ? [...file.decisions, ...(file.settlements || [])] : []) {
      hold(shown.has(one.fingerprint), "file other", one.item);
    }
    return file;
  }

  // [file, null], or [null, [why, what was found]].
  function read(text, data, folded) {
    try {
      return [checked(JSON.parse(text), data, folded), null];
    } catch (fault) {
      return [null, fault instanceof Fault ? JSON.parse(fault.message) : ["file format", ""]];
    }
  }

  return { read };
})();

// The files of other reviewers, kept in this browser beside the work of its own.
function loadedFiles(place, data, folded, told) {
  const key = place + "-loaded";
  let files = [];
  try {
    const kept = JSON.parse(localStorage.getItem(key) || "[]");
    if (!Array.isArray(kept)) told("loaded lost", {});
    for (const text of Array.isArray(kept) ? kept : []) {
      const [file] = decisionFiles.read(text, data, folded);
      if (file) files.push(file);
      else told("loaded lost", {});
    }
  } catch {
    told("loaded lost", {});
  }

  function keep() {
    try {
      localStorage.setItem(key, JSON.stringify(files.map((file) => JSON.stringify(file))));
    } catch {
      told("unkept", {});
    }
  }

  // The newest file of a reviewer stands for that reviewer.
  function add(file) {
    files = files.filter((one) => folded(one.reviewer) !== folded(file.reviewer));
    files.push(file);
    keep();
  }

  function remove(file) {
    files = files.filter((one) => one !== file);
    keep();
  }

  // What others have said of an item as it is: { by, date, facets } each.
  function on(item, me) {
    return files.filter((file) => folded(file.reviewer) !== me).flatMap((file) =>
      file.decisions.filter((one) => one.fingerprint === item.fingerprint)
        .map((one) => ({ by: file.reviewer, date: file.date, facets: one.facets })));
  }

  return { all: () => files, add, remove, on };
}
