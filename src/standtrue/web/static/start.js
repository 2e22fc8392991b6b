// The answer follows the blanks: each change asks again, and only the last question is shown.
const form = document.querySelector("[data-asks]");
let asked = 0;

async function ask() {
  const own = ++asked;
  const query = new URLSearchParams(new FormData(form)).toString();
  let text;
  try {
    text = await (await fetch(`/start?${query}`)).text();
  } catch {
    return; // no network: the last answer stays
  }
  if (own !== asked) return;
  const told = new DOMParser().parseFromString(text, "text/html");
  for (const id of ["first", "drawn"]) {
    document.getElementById(id).replaceChildren(...told.getElementById(id).childNodes);
  }
  history.replaceState(null, "", `/start?${query}`);
}

form.addEventListener("change", ask);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  ask();
});
