// A device types the code shown at the bench; the page it asked for then loads at the same address.

const form = document.getElementById("enter");
const code = document.getElementById("code");
const named = document.getElementById("name");
const told = document.getElementById("told");
const button = form.querySelector("button");

code.focus();

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  button.disabled = true;
  told.textContent = "";
  let text = "The bench does not answer. See whether it still runs, and whether this device is on the shop's network.";
  try {
    const answer = await fetch("/api/enter", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ code: code.value, name: named.value }),
    });
    if (answer.ok) {
      location.reload();
      return;
    }
    const { error } = await answer.json();
    text = `${error.message[0].toUpperCase()}${error.message.slice(1)}. ${error.remedy}`;
  } catch {
    // the text above says it
  }
  button.disabled = false;
  told.textContent = text;
  code.select();
});
