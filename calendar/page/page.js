// All of the page works without this. It offers to copy addresses, and lets "subscribe" follow the address that the
// page was reached by.
for (const li of document.querySelectorAll(".feeds li")) {
  const address = li.querySelector(".address").href;
  const button = li.querySelector(".copy");
  const said = document.getElementById("said");
  let webcal = li.querySelector(".webcal");
  if (!webcal) {
    webcal = document.createElement("a");
    webcal.className = "webcal";
    webcal.textContent = said.dataset.subscribe;
    webcal.setAttribute("aria-label", said.dataset.subscribe + ": " + li.querySelector(".feed-name").textContent);
    li.querySelector(".ways").prepend(webcal, " ");
  }
  webcal.href = address.replace(/^https?:/, "webcal:");
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(address);
      button.textContent = said.dataset.copied;
      said.textContent = said.dataset.copied + ": " + address;
    } catch {
      said.textContent = said.dataset.cannot + address;
      said.classList.remove("unseen");
    }
  });
}
