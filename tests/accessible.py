"""What keeps a page from being used by everybody, found in a real browser.

After WCAG 2.2 (W3C Recommendation, 12 December 2024): 1.1.1 and 4.1.2 everything has a name, 1.3.1 landmarks and headings,
1.4.3 contrast AA, 1.4.10 no scrolling sideways at 320 px, 2.4.2 a title, 3.1.1 a language. Buttons are held to 12 mm by the
page's own rule, which is more than 2.5.8 asks. Names are those of the browser's own accessibility tree.
"""

from __future__ import annotations

from typing import Any

NAMED = frozenset({"button", "link", "textbox", "searchbox", "combobox", "checkbox", "radio", "spinbutton", "image", "img", "group",
                   "navigation", "listbox", "DisclosureTriangle"})  # fmt: skip
"""Roles that must have a name; a group only where it is a fieldset's."""

DRAWN = "const told = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => told()));"
"""Waits until the page has been drawn: what is read before may be without its style."""
LOOK = r"""
const out = [];
const lit = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
const bright = ([r, g, b]) => 0.2126 * lit(r) + 0.7152 * lit(g) + 0.0722 * lit(b);
const rgba = (text) => { const n = text.match(/[\d.]+/g).map(Number); return n.length < 4 ? [...n, 1] : n; };
const ground = (e) => {
  for (; e; e = e.parentElement) { const c = rgba(getComputedStyle(e).backgroundColor); if (c[3] === 1) return c; }
  return [255, 255, 255]; };
for (const each of document.querySelectorAll("details")) each.open = true;
const seen = (e) => e.checkVisibility() && e.getBoundingClientRect().right > 0;
for (const e of document.querySelectorAll("body *")) {
  if (!seen(e)) continue;
  const own = e.matches("input,textarea,select") || [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
  if (own && !e.matches("script,style,option")) {
    const style = getComputedStyle(e), size = parseFloat(style.fontSize);
    const [a, b] = [bright(rgba(style.color)), bright(ground(e))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05), large = size >= 24 || (size >= 18.66 && style.fontWeight >= 700);
    if (ratio < (large ? 3 : 4.5)) out.push(`contrast ${ratio.toFixed(2)}: ${(e.textContent || e.name).trim().slice(0, 40)}`);
  }
  if (e.matches("button,a.button,summary,nav a,select,textarea,label.tick,input:not([type=hidden],[type=checkbox],[type=radio])")) {
    const box = e.getBoundingClientRect();
    if (box.height < 45.3 || box.width < 45.3) out.push(`under 12 mm: ${(e.textContent || e.name).trim().slice(0, 40)}`);
    if (e.matches("button,a") && e.scrollWidth > e.clientWidth + 1) out.push(`cut off: ${e.textContent.trim()}`);
  }
}
const count = (what) => document.querySelectorAll(what).length;
if (count("main") !== 1) out.push(`${count("main")} main`);
if (count("h1") !== 1) out.push(`${count("h1")} h1`);
if (!document.documentElement.lang) out.push("no language");
if (!document.title.trim()) out.push("no title");
let level = 0;
for (const head of document.querySelectorAll("h1,h2,h3")) {
  const now = Number(head.tagName[1]); if (now > level + 1) out.push(`heading ${now} after ${level}`); level = now; }
const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
for (const id of new Set(ids.filter((id, at) => ids.indexOf(id) !== at))) out.push(`id twice: ${id}`);
for (const e of document.querySelectorAll("[aria-describedby],[aria-labelledby],label[for]")) {
  for (const id of (e.getAttribute("aria-describedby") || e.getAttribute("aria-labelledby") || e.htmlFor).split(" ")) {
    if (!ids.includes(id)) out.push(`nothing is ${id}`); } }
const top_ = document.documentElement;
if (top_.scrollWidth > top_.clientWidth) out.push(`wide ${top_.scrollWidth}`);
return out;
"""


def faults(browser: Any) -> list[str]:
    """What is wrong with the page that is shown, everything on it opened; nothing where it is as it should be."""
    browser.execute_async_script(DRAWN)
    found = list(browser.execute_script(LOOK))
    for node in browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]:
        role = node.get("role", {}).get("value")
        if node.get("ignored") or role not in NAMED or (node.get("name") or {}).get("value", "").strip():
            continue
        if role != "group" or not _is_details(browser, node):
            found.append(f"no name: {role}")
    return found


def _is_details(browser: Any, node: dict[str, Any]) -> bool:
    """Whether a group is a part that opens, which its summary names."""
    told = browser.execute_cdp_cmd("DOM.describeNode", {"backendNodeId": node["backendDOMNodeId"]})
    return bool(told["node"]["nodeName"] == "DETAILS")


def set_up(browser: Any, width: int, dark: bool) -> None:
    """A width in CSS pixels, by day or by night."""
    size = {"width": width, "height": 844, "deviceScaleFactor": 2, "mobile": width < 600}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    scheme = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": scheme})
