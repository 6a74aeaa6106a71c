// How far the arrow keys take a grip.

/** How far each arrow key takes a grip [m]: {left: [[du, dv], [du, dv]]}, one step and a big one. */
export function stepsOf(data) {
  const arrows = Object.entries(data.arrows ?? {});
  if (!arrows.length) return null;
  return Object.fromEntries(arrows.map(([way, places]) => [way, places.map(([u, v]) => [u - data.at[0], v - data.at[1]])]));
}

/** The same where the pit has not said yet: a step of the tape the way the grip moves. */
export function plainSteps(data, [small, big]) {
  const way = (u, v) => [[u * small, v * small], [u * big, v * big]]; // prettier-ignore
  const sideways = data.moves === "across" ? {} : { left: way(-1, 0), right: way(1, 0) };
  const upright = data.moves === "along" ? {} : { up: way(0, 1), down: way(0, -1) };
  return { ...sideways, ...upright };
}
