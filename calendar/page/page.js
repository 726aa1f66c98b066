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
    webcal.textContent = "subscribe";
    webcal.setAttribute("aria-label", "Subscribe: " + li.querySelector(".feed-name").textContent);
    li.querySelector(".ways").prepend(webcal, " ");
  }
  webcal.href = address.replace(/^https?:/, "webcal:");
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(address);
      button.textContent = "copied";
      said.textContent = "Copied " + address;
    } catch {
      said.textContent = "This browser does not let the page copy. The address is " + address;
      said.classList.remove("unseen");
    }
  });
}
