"use strict";

// The queue: in what order items come, which of them are wanted, and what a random sample of them
// proves.  The order at random is that of the items' hashes, so that it is the same for everyone.
// The parts of a question stay together in it, where the first of them stands, and a sample counts
// the question once: what is wrong with one part is seldom wrong with that part alone.

// `about(name)`: { status, kept, conflict } of an item.
function reviewQueue(data, about) {
  const items = data.items;
  const by = (name) => document.getElementById("queue-" + name);
  const rank = new Map(data.riskiest.map((place, i) => [items[place], i]));
  const texts = new Map();
  const questions = together(items);
  const first = ([a], [b]) => (a.fingerprint < b.fingerprint ? -1 : 1);
  const shuffled = [...questions].sort(first);
  const orders = {
    risk: [...items].sort((a, b) => rank.get(a) - rank.get(b)),
    packet: items,
    random: shuffled.flat(),
  };
  const decided = (item) => ["accepted", "returned"].includes(about(item.item).status);

  function text(item) {
    if (!texts.has(item)) {
      texts.set(item, [item.item, item.group, ...item.seen].join("\n").toLowerCase());
    }
    return texts.get(item);
  }

  function inState(item, state) {
    const { status, kept, conflict } = about(item.item);
    switch (state) {
      case "undecided": return !decided(item);
      case "differs": return kept.agreed === false;
      case "returned": return status === "returned" || Boolean(item.returns);
      case "changed": return Boolean(item.changed);
      case "conflict": return conflict;
    }
    return true;
  }

  function wanted(item) {
    const family = by("family").value, form = by("form").value;
    const terms = by("text").value.toLowerCase().split(/\s+/).filter(Boolean);
    return (!family || item.group === family) && (!form || item.shape === form) &&
      inState(item, by("state").value) && terms.every((term) => text(item).includes(term));
  }

  const ordered = () => orders[by("order").value];
  const list = () => ordered().filter(wanted);

  // The first item that comes after, or before, the one of this name, and satisfies the condition.
  function from(name, step, condition) {
    const all = ordered(), at = all.findIndex((item) => item.item === name);
    for (let i = at < 0 && step < 0 ? -1 : at + step; i >= 0 && i < all.length; i += step) {
      if (condition(all[i])) return all[i].item;
    }
    return null;
  }

  // The next undecided item, from the start again after the last.
  function undecided(name) {
    const open = (item) => item.item !== name && wanted(item) && !decided(item);
    return from(name, 1, open) || from(null, 1, open);
  }

  // The share of faults that `r` faulty ones of n drawn at random leave open with 95 %: the p at
  // which r or fewer have probability 0.05 (Clopper and Pearson, Biometrika 26, 1934).
  function bound(n, r) {
    let low = r / n, high = 1;
    for (let i = 0; i < 60; i += 1) {
      const p = (low + high) / 2;
      let term = Math.pow(1 - p, n), sum = term;
      for (let k = 0; k < r; k += 1) {
        term *= ((n - k) / (k + 1)) * (p / (1 - p));
        sum += term;
      }
      if (sum > 0.05) low = p;
      else high = p;
    }
    return high;
  }

  // How many of the first questions in the order at random are decided, in all of their parts, and
  // how many of them returned, in any.
  function sample() {
    let n = 0, returned = 0;
    for (const parts of shuffled) {
      if (!parts.every(decided)) break;
      n += 1;
      returned += parts.some((item) => about(item.item).status === "returned");
    }
    return { n, returned };
  }

  // How many more, none of them faulty, until at most `share` can be faulty.
  function left(n, r, share) {
    let more = 0;
    while (n + more < 10000 && (n + more <= r || bound(n + more, r) > share)) more += 1;
    return more;
  }

  return { by, list, wanted, ordered, from, undecided, bound, sample, left };
}

// The items, with the parts of one variant (rsa.a, rsa.b) in a list of their own.
function together(items) {
  const found = [];
  const whole = (item) => item.family.split(".")[0];
  for (const item of items) {
    const [last] = found.slice(-1);
    const follows = last && /\.[b-z]$/.test(item.family) && whole(last[0]) === whole(item) &&
      last[0].index === item.index;
    if (follows) last.push(item);
    else found.push([item]);
  }
  return found;
}
