// Sends the request in the text area to the service and shows the answer, or the reason why there is none.
const form = document.getElementById("try");
const answer = document.getElementById("answer");
const status = document.getElementById("status");
form.querySelector("button").disabled = false; // without this script it would send the form nowhere

function refusal(problem) {
  const faults = problem.errors.map((fault) => `  ${fault.pointer || "(the whole request)"}: ${fault.detail}`);
  return [problem.title, "", ...(faults.length ? faults : [problem.detail])].join("\n");
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  status.textContent = "Asking the service ...";
  const query = new URLSearchParams({ format: "text", units: form.elements.units.value });
  try {
    const reply = await fetch(`/v1/comparison?${query}`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: form.elements.request.value,
    });
    const ours = reply.headers.get("Content-Type")?.startsWith("application/problem+json");
    answer.classList.toggle("refusal", !reply.ok);
    if (!reply.ok && !ours) {
      answer.textContent = "";
      status.textContent = `Something between here and the service answered with status ${reply.status}.`;
      return;
    }
    answer.textContent = reply.ok ? await reply.text() : refusal(await reply.json());
    status.textContent = reply.ok ? "Answered." : "Not answered: the reason stands below.";
  } catch {
    answer.textContent = "";
    status.textContent = "The service cannot be reached. Is it running?";
  }
});
