// Chapters of the engine become part of the screen: fetched without a frame, and made alive by the engine's own script.
(function () {
  "use strict";

  // The drawing library comes with the first chart of a page; a page opened by its address may have to wait for it.
  async function drawing() {
    for (let turn = 0; turn < 600 && !(window.Plotly && window.Plotly.react); turn += 1) {
      await new Promise((done) => setTimeout(done, 50));
    }
  }

  async function fill(node) {
    const address = node.dataset.paper;
    if (node.blankwiseFilled === address) return;
    node.blankwiseFilled = address;
    node.setAttribute("aria-busy", "true");
    let text = "";
    try {
      const answer = await fetch(address);
      text = answer.ok ? await answer.text() : "<p>This answer is not kept any more; compute it again.</p>";
    } catch (error) {
      text = "<p>The server is not there just now. Reload the page to try again.</p>";
      node.blankwiseFilled = "";
    }
    if (node.dataset.paper !== address) return;
    node.innerHTML = text;
    node.removeAttribute("aria-busy");
    await drawing();
    if (node.dataset.paper !== address || !node.isConnected) return;
    window.blankwisePaper.dress(node);
  }

  function look() {
    for (const node of document.querySelectorAll("[data-paper]")) fill(node);
  }

  const watch = { childList: true, subtree: true, attributes: true, attributeFilter: ["data-paper"] };
  const begin = () => new MutationObserver(look).observe(document.body, watch);
  if (document.body) begin();
  else document.addEventListener("DOMContentLoaded", begin);
})();
