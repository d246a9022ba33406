"use strict";

// The reviewer's own file of decisions, as it is saved.

function decisionsToSave({ data, items, work, voices, status, asked }) {
  const of = work.of;

  function settlements() {
    return items.flatMap((item) => voices.returns(item).flatMap(function (open) {
      const word = (of(item.item).settled || {})[voices.returnName(open)] || {};
      if (!word.verdict || !readable(word.comment)) return [];
      return [{
        item: item.item, fingerprint: item.fingerprint, facet: open.facet, over: open.by,
        verdict: word.verdict, comment: word.comment,
        hashes: item.hashes ? { [open.facet]: item.hashes[open.facet] } : {},
      }];
    }));
  }

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

  return decisions;
}
