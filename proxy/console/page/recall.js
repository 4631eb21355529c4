// What was open last for a piece: the browser keeps it, for so many pieces, and tells nobody.
const keep = "swellbox.pieces";
const most = 50;

// all are the pieces as they are kept, the latest last; none where the browser keeps nothing, or something else.
function all() {
  try {
    const kept = JSON.parse(localStorage.getItem(keep));
    return Array.isArray(kept) ? kept.filter((p) => p && typeof p.piece === "string") : [];
  } catch {
    return [];
  }
}

// recall is what was open last for a piece: its view, and the profile that was adjusted.
export const recall = (piece) => all().find((p) => p.piece === piece) || {};

// remember keeps what is open now.
export function remember(piece, what) {
  const others = all().filter((p) => p.piece !== piece);
  try {
    localStorage.setItem(keep, JSON.stringify([...others.slice(1 - most), { ...recall(piece), ...what, piece }]));
  } catch {
    // A browser that keeps nothing begins with the parts.
  }
}
