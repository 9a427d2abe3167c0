/** Limited-memory BFGS (Nocedal and Wright, "Numerical Optimization", 2nd ed., algorithm 7.4) with backtracking. */

export type Objective = (x: Float64Array) => { readonly value: number; readonly gradient: Float64Array };

export function minimise(
  objective: Objective,
  start: Float64Array,
  iterations: number,
  memory = 8,
): Float64Array {
  let x = Float64Array.from(start);
  let { value, gradient } = objective(x);
  const history: { s: Float64Array; y: Float64Array; rho: number }[] = [];
  for (let iteration = 0; iteration < iterations; iteration++) {
    const direction = twoLoop(gradient, history);
    let step = history.length === 0 ? 1 / Math.max(1, norm(gradient)) : 1;
    const slope = dot(direction, gradient);
    let next = x;
    let after = { value, gradient };
    let found = false;
    for (let tries = 0; tries < 12; tries++, step /= 2) {
      next = x.map((xi, i) => xi + step * (direction[i] ?? 0));
      after = objective(next);
      if (after.value <= value + 1e-4 * step * slope) {
        found = true;
        break;
      }
    }
    if (!found) return x;
    const s = next.map((xi, i) => xi - (x[i] ?? 0));
    const y = after.gradient.map((gi, i) => gi - (gradient[i] ?? 0));
    const sy = dot(s, y);
    if (sy > 1e-10) {
      history.push({ s, y, rho: 1 / sy });
      if (history.length > memory) history.shift();
    }
    const gain = value - after.value;
    x = next;
    ({ value, gradient } = after);
    if (gain < 1e-5 * Math.abs(value)) return x;
  }
  return x;
}

function twoLoop(
  gradient: Float64Array,
  history: readonly { readonly s: Float64Array; readonly y: Float64Array; readonly rho: number }[],
): Float64Array {
  const q = Float64Array.from(gradient);
  const alphas: number[] = [];
  for (const { s, y, rho } of history.toReversed()) {
    const alpha = rho * dot(s, q);
    alphas.unshift(alpha);
    for (let i = 0; i < q.length; i++) q[i] = (q[i] ?? 0) - alpha * (y[i] ?? 0);
  }
  const last = history.at(-1);
  const scale = last === undefined ? 1 : dot(last.s, last.y) / dot(last.y, last.y);
  for (let i = 0; i < q.length; i++) q[i] = (q[i] ?? 0) * scale;
  history.forEach(({ s, y, rho }, k) => {
    const beta = rho * dot(y, q);
    for (let i = 0; i < q.length; i++) q[i] = (q[i] ?? 0) + (s[i] ?? 0) * ((alphas[k] ?? 0) - beta);
  });
  return q.map((v) => -v);
}

const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);
const norm = (a: Float64Array): number => Math.sqrt(dot(a, a));
