// Keeping what lies on a drawing apart: grips, live figures, signs of findings. All in pixels of the board.

const EDGE = 14;

/** How far each spot {at, moves} is set aside, so that no two are nearer than `room`: square to its way where it can. */
export function apart(spots, [w, h], room) {
  const taken = [];
  const free = (x, y) => taken.every(([a, b]) => Math.abs(a - x) >= room || Math.abs(b - y) >= room);
  return spots.map(({ at: [x, y], moves }) => {
    const inside = (dx, dy) => x + dx > EDGE && x + dx < w - EDGE && y + dy > EDGE && y + dy < h - EDGE;
    const square = moves === "across" ? [1, 0] : [0, 1];
    const straight = [0, 1, -1, 2, -2, 3, -3].map((n) => [square[0] * n * room, square[1] * n * room]);
    const aslant = [1, -1].flatMap((a) => [1, -1, 2, -2].map((b) => (square[0] ? [b * room, a * room] : [a * room, b * room])));
    const off = [...straight, ...aslant].find(([dx, dy], i) => free(x + dx, y + dy) && (i === 0 || inside(dx, dy))) ?? [0, 0];
    taken.push([x + off[0], y + off[1]]);
    return off;
  });
}

/** The height near `middle` at which a figure `half` wide on each side lies on none of the boxes [x, y, half, half]. */
export function clearHeight(x, middle, half, h, boxes) {
  const clear = (y) => y > 16 && y < h - 16 && boxes.every(([a, b, wide, high]) => Math.abs(a - x) > wide + half || Math.abs(b - y) > high + 15);
  return [0, -32, 32, -64, 64, -96, 96].map((dy) => middle + dy).find(clear) ?? middle;
}

const AROUND = [[0, 0], [24, -24], [24, 24], [-24, -24], [-24, 24], [0, -34], [0, 34], [34, 0], [-34, 0], [48, -24], [-48, -24], [48, 24], [-48, 24], [0, -60], [0, 60]]; // prettier-ignore

/** Where beside (x, y) a sign lies clear of what is taken. */
export function besideAll(x, y, taken, room = 26) {
  const clear = ([dx, dy]) => taken.every(([a, b]) => Math.abs(a - x - dx) >= room || Math.abs(b - y - dy) >= room);
  return AROUND.find(clear) ?? AROUND[1];
}
