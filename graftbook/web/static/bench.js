"use strict";
// What is recorded goes to the server; when it does not answer, it is kept in this browser under a uid of its own and sent later.
// The server records each uid once, so that sending twice does no harm. Every form also works without this script.

(() => {
  const token = document.body.dataset.token;
  const waiting = document.getElementById("waiting");
  const refused = document.getElementById("refused");
  const ANSWER_MS = 12000, OFF_MS = 10 * 60 * 1000;
  let off = 0; // how far this clock is from the server's, 0 while that is little

  async function compareClocks() {
    try {
      const answer = await fetch("/now", { cache: "no-store" });
      const ahead = Date.now() - Date.parse((await answer.json()).now);
      localStorage.setItem("graftbook-off", Math.abs(ahead) > OFF_MS ? ahead : 0);
    } catch { /* what was known before holds */ }
    try { off = Number(localStorage.getItem("graftbook-off")) || 0; } catch { off = 0; }
  }

  // A UUID of version 7 (RFC 9562): the moment, then chance.
  function newUid() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    let moment = Date.now() - off;
    for (let at = 5; at >= 0; at--) { bytes[at] = moment % 256; moment = Math.floor(moment / 256); }
    bytes[6] = (bytes[6] & 15) | 112;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  }

  // The day it is here, by the server's clock where this one is wrong.
  function today() {
    const now = new Date(Date.now() - off);
    const two = (number) => String(number).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  }

  function store(how, work) {
    return new Promise((done, failed) => {
      const opening = indexedDB.open("graftbook-bench", 1);
      opening.onupgradeneeded = () => opening.result.createObjectStore("kept", { keyPath: "uid" });
      opening.onerror = () => failed(opening.error);
      opening.onsuccess = () => {
        const base = opening.result;
        const trade = base.transaction("kept", how);
        const asked = work(trade.objectStore("kept"));
        trade.oncomplete = () => { base.close(); done(asked && asked.result); };
        trade.onabort = () => { base.close(); failed(trade.error); };
      };
    });
  }
  const keep = (entry) => store("readwrite", (kept) => kept.put(entry));
  const drop = (uid) => store("readwrite", (kept) => kept.delete(uid));
  const every = () => store("readonly", (kept) => kept.getAll());

  // What the server says: {recorded, to} when it is in the book, {refused} when it never will be as it is, {later} otherwise.
  async function send(entry) {
    const form = new URLSearchParams(entry.fields);
    form.set("uid", entry.uid);
    form.set("token", token);
    const stop = new AbortController();
    const clock = setTimeout(() => stop.abort(), ANSWER_MS);
    try {
      const answer = await fetch(entry.path, { method: "POST", body: form, headers: { Accept: "application/json" }, signal: stop.signal });
      const said = await answer.json();
      if (answer.ok) return said;
      if (answer.status === 401 || answer.status >= 500) return { later: said.refused };
      return said;
    } catch {
      return { later: "" };
    } finally {
      clearTimeout(clock);
    }
  }

  function line(text, ...more) {
    const made = document.createElement("p");
    made.append(text, ...more);
    return made;
  }

  function button(text, work) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = text;
    made.addEventListener("click", work);
    return made;
  }

  async function show(why) {
    const kept = await every();
    const lines = kept.filter((entry) => !entry.refused).map((entry) => line(`Waits in this phone: ${entry.said}`));
    if (lines.length) lines.push(line(why || "It goes when the server answers. Leave this page open, or come back to it."));
    if (off) lines.push(line(`The clock of this phone is ${off > 0 ? "ahead" : "behind"}: days are taken from the server's.`));
    waiting.replaceChildren(...lines);
    waiting.hidden = !lines.length;
    const bad = kept.filter((entry) => entry.refused).map((entry) => {
      const open = document.createElement("a");
      open.className = "button quiet";
      open.href = entry.page;
      open.textContent = "Open it, to record it anew";
      return line(`Not recorded: ${entry.said}. ${entry.refused} `, open, " ",
        button("Throw it away", async () => { await drop(entry.uid); show(); }));
    });
    if (bad.length) { refused.replaceChildren(...bad); refused.hidden = false; }
    else if (refused.dataset.kept) refused.hidden = true;
    refused.dataset.kept = bad.length ? "yes" : "";
  }

  // Everything kept, oldest first, until one is not answered. One page at a time sends.
  async function sendKept() {
    const kept = (await every()).filter((entry) => !entry.refused).sort((a, b) => (a.uid < b.uid ? -1 : 1));
    let why = "";
    for (const entry of kept) {
      const said = await send(entry);
      if ("later" in said) { why = said.later; break; }
      if (said.refused) await keep({ ...entry, refused: said.refused });
      else await drop(entry.uid);
    }
    await show(why);
  }
  const turn = () => (navigator.locks ? navigator.locks.request("graftbook-send", { ifAvailable: true }, (lock) => lock && sendKept()) : sendKept());

  function described(form, pressed) {
    const codes = new FormData(form).getAll("code").join(", ");
    return `${codes || document.title} ${pressed ? pressed.textContent.trim() : ""}`.trim();
  }

  async function submit(event) {
    const form = event.target;
    if (!form.matches("form[data-keep]") || !token) return;
    event.preventDefault();
    const pressed = event.submitter;
    const fields = Array.from(new FormData(form, pressed)).filter(([name]) => name !== "token" && name !== "uid");
    const path = new URL(pressed && pressed.hasAttribute("formaction") ? pressed.formAction : form.action).pathname;
    const entry = { uid: newUid(), path, fields, said: described(form, pressed), page: location.pathname };
    for (const each of form.elements) if (each.type === "submit") each.disabled = true;
    const said = await send(entry);
    for (const each of form.elements) each.disabled = false;
    if ("later" in said) {
      if (!fields.some(([name, value]) => name === "on" && value)) entry.fields = [...fields.filter(([name]) => name !== "on"), ["on", today()]];
      try {
        await keep(entry);
        form.reset();
        await show(said.later);
      } catch {
        refused.replaceChildren(line("Not recorded: the server does not answer, and this browser keeps nothing. Write it down."));
        refused.hidden = false;
      }
      window.scrollTo(0, 0);
    } else if (said.refused) {
      refused.replaceChildren(line(said.refused), ...(said.problems || []).map((text) => line(text)));
      refused.hidden = false;
      window.scrollTo(0, 0);
    } else {
      location.assign(said.to);
    }
  }

  document.addEventListener("submit", submit);
  if (!token || !window.indexedDB) return;
  window.addEventListener("online", turn);
  setInterval(async () => { if ((await every()).some((entry) => !entry.refused)) turn(); }, 5000);
  compareClocks().then(turn);
  if (navigator.serviceWorker && window.isSecureContext) navigator.serviceWorker.register("/keeper.js").catch(() => {});
})();
