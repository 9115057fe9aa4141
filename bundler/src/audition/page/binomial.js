// Chance.

// Probability of at least `right` of `trials` by guessing: the sum over k of C(n, k) / 2^n. Exact but for rounding.
function atLeast(right, trials) {
  let term = 2 ** -trials;
  let sum = 0;
  for (let k = trials; k >= right; k--) {
    sum += term;
    term *= k / (trials - k + 1);
  }
  return Math.min(1, sum);
}

// A fair number from 0 to `below` - 1, from the system's entropy.
function fair(below) {
  const box = new Uint32Array(1);
  const most = Math.floor(2 ** 32 / below) * below;
  do crypto.getRandomValues(box); while (box[0] >= most);
  return box[0] % below;
}

// Fisher and Yates: every order is as likely as any other.
function shuffled(values) {
  const order = [...values];
  for (let last = order.length - 1; last > 0; last--) {
    const other = fair(last + 1);
    [order[last], order[other]] = [order[other], order[last]];
  }
  return order;
}
