// Elements by id, elements made, words.

const data = JSON.parse(document.getElementById("data").textContent);

function byId(id) {
  return document.getElementById(id);
}

// Every text goes in as text: nothing that was written elsewhere becomes markup.
function make(name, properties = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(properties)) {
    if (key.includes("-") || key === "role" || key === "for") element.setAttribute(key, value);
    else element[key] = value;
  }
  element.append(...children);
  return element;
}

function draw(name, attributes = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

function clock(seconds) {
  const minutes = Math.floor(seconds / 60);
  const rest = (seconds - 60 * minutes).toFixed(1).padStart(4, "0");
  return `${minutes}:${rest}`;
}

function notice(text) {
  byId("notice").textContent = text;
  byId("notice").hidden = false;
}

// 15 bits a character, from U+3400 on.
function bytesOf(id) {
  const element = byId(id);
  const text = element.textContent;
  const bytes = new Uint8Array(Number(element.dataset.bytes));
  let held = 0;
  let bits = 0;
  let filled = 0;
  for (let i = 0; i < text.length; i++) {
    held = ((held << 15) | (text.charCodeAt(i) - 0x3400)) & 0x3fffff;
    bits += 15;
    while (bits >= 8 && filled < bytes.length) {
      bits -= 8;
      bytes[filled++] = held >> bits;
    }
  }
  return bytes;
}

// Clip 0 is the take as recorded, clip n + 1 is variant n.
const RECORDED = 0;

function variantOf(clip) {
  return clip === RECORDED ? null : data.variants[clip - 1];
}

function nameOf(clip) {
  const variant = variantOf(clip);
  if (!variant) return "As recorded";
  const option = data.options[variant.option];
  const changes = option.changes.length ? ` (${option.changes.join(", ")})` : "";
  const position = variant.position === null ? "" : `, position ${variant.position}`;
  return `${option.title}${changes}${position}: ${variant.sound}`;
}
