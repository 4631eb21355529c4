// Small helpers: elements, and how the page says numbers.

// el makes an element: its attributes (those that begin with "on" are listeners), and what is in it.
export function el(name, attributes = {}, ...inside) {
  return fill(document.createElement(name), attributes, inside);
}

// drawn is el for drawings.
export function drawn(name, attributes = {}, ...inside) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, inside);
}

function fill(e, attributes, inside) {
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) e.addEventListener(key.slice(2), value);
    else if (value === true) e.setAttribute(key, "");
    else if (value !== false && value != null) e.setAttribute(key, value);
  }
  e.append(...inside);
  return e;
}

// put changes a text only where it has changed.
export function put(e, text) {
  if (e.textContent !== text) e.textContent = text;
}

// number has a real minus, and so many places.
export const number = (x, places = 0) => x.toFixed(places).replace("-", "−");

export const many = (n, what) => (n === 1 ? "1 " + what : n + " " + what + "s");

export const capital = (s) => s.charAt(0).toUpperCase() + s.slice(1);

// chance says a probability as a person would.
export function chance(p) {
  if (p >= 0.995) return "always";
  if (p >= 0.095) return `${Math.round(p * 100)} times in 100`;
  if (p >= 0.0095) return `${many(Math.round(p * 100), "time")} in 100`;
  return p >= 0.00095 ? `${many(Math.round(p * 1000), "time")} in 1000` : "less than once in 1000";
}

export const calm = matchMedia("(prefers-reduced-motion: reduce)");
