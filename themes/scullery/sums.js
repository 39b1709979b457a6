// Sums of a lesson, as `kitchen::Worksheet` works them out: the same operations in the same order.
const Sums = (() => {
  // A value within 1e-9 of a half goes up, so that the last bit of a power does not matter.
  const print = (value, places) => {
    const scale = [1, 10, 100][places],
      size = Math.floor(Math.abs(value) * scale + (.5 + 1e-9)) / scale;
    return (value < 0 && size ? "−" : "") + size;
  };
  const blank = String.fromCharCode(160); // keeps a number and its unit on one line
  const threeDigits = (value) => print(value, value < 10 ? 2 : value < 100 ? 1 : 0);
  // A result: of a temperature whether °F stands first, of an amount its unit and that of a thousandth.
  const outcome = (value, how) => {
    if (how.map) {
      const [unit, small] = how;
      return small && value > 0 && value < 1 ? threeDigits(value * 1000) + blank + small : threeDigits(value) + unit;
    }
    const both = [`${print(value, 1)}${blank}°C`, `${print(value * 1.8 + 32, 0)}${blank}°F`];
    if (how) both.reverse();
    return `${both[0]} (${both[1]})`;
  };
  // Steam tables of IAPWS-IF97, region 4, below the standard atmosphere.
  const boil = (metres) => {
    const kpa = 101.325 * Math.pow(1 - .0065 * metres / 288.15, 5.2559),
      beta = Math.sqrt(Math.sqrt(kpa / 1000)),
      square = beta * beta,
      e = square + -17.073846940092 * beta + 14.91510861353,
      f = 1167.0521452767 * square + 12020.82470247 * beta + -4823.2657361591,
      g = -724213.16703206 * square + -3232555.0322333 * beta + 405113.40542057,
      d = 2 * g / (-f - Math.sqrt(f * f - 4 * e * g)),
      sum = 650.17534844798 + d;
    return (sum - Math.sqrt(sum * sum - 4 * (-.23855557567849 + 650.17534844798 * d))) / 2 - 273.15;
  };
  // Nothing where all values together cannot be.
  const formulas = {
    mix(hot, cold, want, make) {
      if (hot - cold < .01 || want < cold || want > hot) return;
      const warm = make * ((want - cold) / (hot - cold));
      return [warm, make - warm];
    },
    dough(dough, friction, ...others) {
      let water = dough * (others.length + 1);
      for (const other of others) water -= other;
      water -= friction;
      return water >= 0 && water <= 100 && [water];
    },
    brine: (water, strength) => [1000 * strength / (100 - strength) * water / 1000],
    water: (water, strength) => [water * strength / 100],
    dilute(strong, weak, make) {
      if (strong < 1e-6 || weak > strong) return;
      const much = make * weak / strong;
      return [much, make - much];
    },
    boil(height) {
      const celsius = boil(height);
      return [celsius, celsius + 4.4];
    },
    rennet: (milk, dose, strength) => [milk * dose / strength],
    dose: (milk, each) => [milk * each],
    flour(flour, ...shares) {
      const others = shares.map((share) => flour * share / 100);
      return [...others, others.reduce((dough, other) => dough + other, flour)];
    },
    shares(dough, ...shares) {
      const flour = 100 * dough / shares.reduce((total, share) => total + share, 100);
      return [...shares.map((share) => flour * share / 100), flour];
    },
    cool(from, to, room, after, read) {
      const gap = from - room,
        left = (read - room) / gap,
        wanted = (to - room) / gap;
      if (Math.abs(gap) < .01 || left < 1e-6 || left >= 1 || wanted < 1e-6 || wanted > 1) return;
      const minutes = Math.log(wanted) / (Math.log(left) / (after * 60)) / 60;
      return minutes <= 10080 && [Math.ceil(minutes - 1e-9)];
    },
    ice: (kg, from, to) => to <= from && [kg * 4.18 * (from - to) / (333.6 + 4.18 * to)],
  };
  // The sentence for what was typed, or what is wrong, and with which field.
  const say = (sum, typed) => {
    const values = [];
    for (const [by, plus, low, high, fault] of sum.in) {
      const at = values.length,
        value = typed[at] * by + plus;
      if (!(value >= low && value <= high)) return [fault, at];
      values.push(value);
    }
    const found = formulas[sum.of](...values),
      count = values.length;
    if (!found) return [sum.no, count];
    return [sum.say.replace(/{(\d+)}/g, (_, at) =>
      at < count ? print(typed[at], 2) + sum.in[at][5] : outcome(found[at - count], sum.out[at - count]))];
  };
  for (const block of document.querySelectorAll(".sum")) {
    const sum = JSON.parse(block.dataset.sum),
      fields = [...block.querySelectorAll("input")];
    block.querySelector("div").hidden = false;
    block.oninput = () => {
      const [said, wrong] = say(sum, fields.map((field) => field.valueAsNumber));
      block.querySelector("output").textContent = said;
      fields.forEach((field, at) => field.ariaInvalid = at === wrong);
    };
  }
  return { say };
})();
