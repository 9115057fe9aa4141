// What is sent back: as text, and as a file with a check sum.

class Answers {
  constructor() {
    this.ratings = [];
    this.comparisons = [];
    byId("copy").addEventListener("click", () => this.copy());
    byId("save").addEventListener("click", () => this.save());
  }

  content() {
    return {
      page: data.id,
      title: data.title,
      name: byId("who").value,
      comment: byId("comment").value,
      ratings: this.ratings,
      comparisons: this.comparisons,
    };
  }

  text() {
    const { page, title, name, comment, ratings, comparisons } = this.content();
    const lines = [`Answers to “${title}”, page ${page}`, `From: ${name || "-"}`];
    for (const { take, sounds } of ratings) {
      lines.push("", `Rated blind, on “${take}” (5 is best):`);
      const best = [...sounds].sort((a, b) => b.rating - a.rating);
      for (const { rating, letter, sound } of best) lines.push(`  ${rating || "-"}  ${letter}  ${sound}`);
    }
    for (const comparison of comparisons) lines.push("", ...told(comparison));
    if (comment) lines.push("", comment);
    return lines.join("\n");
  }

  async copy() {
    const place = byId("answers-text");
    place.value = this.text();
    place.hidden = false;
    let copied = false;
    try {
      await navigator.clipboard.writeText(place.value);
      copied = true;
    } catch {
      place.select();
    }
    byId("answered").textContent = copied ? "Copied; paste it into a mail." : "Select the text below and copy it.";
  }

  async save() {
    const answers = this.content();
    const file = { "dryfit-answers": 1, answers, check: await checkSum(answers) };
    const url = URL.createObjectURL(new Blob([JSON.stringify(file, null, 1)], { type: "application/json" }));
    make("a", { href: url, download: `answers-${data.id}.json` }).click();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
    byId("answered").textContent = "Saved where your browser keeps downloads; attach it to a mail.";
  }
}

function told({ take, first, second, x, said }) {
  const right = x.filter((one, trial) => one === said[trial]).length;
  return [
    `Told apart blind, on “${take}”:`,
    `  1: ${first}`,
    `  2: ${second}`,
    `  ${right} of ${x.length} right. By guessing, so many or more come with a probability of ${(100 * atLeast(right, x.length)).toFixed(1)} %.`,
  ];
}

// JSON without spaces and with sorted keys, so that the command that reads it comes to the same text.
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value && typeof value === "object") {
    return `{${Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${canonical(value[key])}`).join(",")}}`;
  }
  return JSON.stringify(value);
}

// It shows damage and careless changes; it proves nothing about who answered. Null where the browser cannot.
async function checkSum(answers) {
  if (!window.crypto || !crypto.subtle) return null;
  const text = new TextEncoder().encode(`dryfit answers 1\n${answers.page}\n${canonical(answers)}`);
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", text));
  return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
