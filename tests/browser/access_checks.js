// What a reader with weak eyes or without a mouse would miss. Each function lists offenders.

// Text whose contrast with what lies behind it is below 4.5 : 1 (WCAG 2.1, 1.4.3; large text 3 : 1); disabled parts excepted.
function tooFaint() {
  const number = (text) => (text.match(/[\d.]+/g) || []).map(Number);
  const linear = (v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const light = ([r, g, b]) => 0.2126 * linear(r / 255) + 0.7152 * linear(g / 255) + 0.0722 * linear(b / 255);
  const behind = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const colour = number(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
    }
    return [255, 255, 255];
  };
  const faint = [];
  const walker = document.createTreeWalker(document.querySelector(".page"), NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode.parentElement;
    const text = walker.currentNode.textContent.trim();
    const skipped = "svg, :disabled, [data-disabled], [aria-hidden=true]";
    if (!text || node.closest(skipped) || !node.getClientRects().length) continue;
    const style = getComputedStyle(node);
    const [a, b] = [light(number(style.color)), light(behind(node))];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const large = parseFloat(style.fontSize) >= 18.66 && Number(style.fontWeight) >= 700;
    if (ratio < (large ? 3 : 4.5)) faint.push(`${text} ${ratio.toFixed(2)}`);
  }
  return faint;
}

function tooSmall() {
  const own = (n) => Array.from(n.childNodes).some((c) => c.nodeType === 3 && c.textContent.trim());
  return Array.from(document.querySelectorAll(".page *"))
    .filter((n) => n.getClientRects().length && own(n) && parseFloat(getComputedStyle(n).fontSize) < 12)
    .map((n) => `${n.textContent.trim()} ${getComputedStyle(n).fontSize}`);
}

function nameless() {
  const wanted = "button, input:not([type=hidden]), [role=button], [role=slider], select";
  const named = (n) => n.getAttribute("aria-label") || n.getAttribute("aria-labelledby") || (n.labels && n.labels.length);
  return Array.from(document.querySelectorAll(wanted))
    .filter((n) => n.getClientRects().length && !named(n) && !(n.tagName !== "INPUT" && n.textContent.trim()))
    .map((n) => n.outerHTML.slice(0, 160));
}

