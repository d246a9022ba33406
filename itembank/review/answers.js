"use strict";

// What a reviewer has answered on a page, and whether it is the key.

const answers = (function () {
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
    const plain = text.replace(/[{}]/g, "").replaceAll("\u2212", "-");
    const typed = plain.split(/[\s,;]+/).filter(Boolean);
    if (!typed.length || !typed.every((part) => /^[+-]?\d+$/.test(part))) return false;
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
      return item.key.some((right) => {
        const gap = BigInt(typed) - BigInt(right);
        return item.modulus ? gap % BigInt(item.modulus) === 0n : gap === 0n;
      });
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

  return { given, told, agrees };
})();
