/**
 * When draws keep giving songs that were there before: every song of the rung on this rhythm, one by one.
 */
import { countPaths, nthPath } from '../lattice.ts';
import { wordsReturn, type PhrasePlan } from './form.ts';
import type { PhrasePlaces } from './melody-places.ts';
import { tuneOf, type Tune, type TuneMeans } from './melody-tune.ts';

/**
 * All tunes that keep the rules, each once, the last phrase changing fastest.
 *
 * Every line is free to have its own tune, save that returning words keep theirs but for the last three sounds.
 */
export function* everyTune(
  phrases: readonly PhrasePlaces[],
  plans: readonly PhrasePlan[],
  means: TuneMeans,
): Generator<Tune> {
  const free = plans.map((plan, i): PhrasePlan => {
    const back = plan.source !== null && wordsReturn(phrases[plan.source], phrases[i]);
    const held = back && (plan.kind === 'copy' || plan.kind === 'tail');
    return held ? { ...plan, kind: 'tail', tail: 3 } : { ...plan, source: null, kind: 'new', tail: 0 };
  });
  const picks = plans.map(() => 0);
  for (;;) {
    const counts = plans.map(() => 0);
    const tune = tuneOf(phrases, free, {
      ...means,
      solve(woven, phrase) {
        const count = countPaths(woven);
        if (count === 0) return null;
        counts[phrase] = count;
        return nthPath(woven, picks[phrase] ?? 0);
      },
    });
    if (tune === null) return;
    yield tune;
    let turning = picks.length - 1;
    while (turning >= 0 && (picks[turning] ?? 0) + 1 >= (counts[turning] ?? 0)) {
      picks[turning] = 0;
      turning -= 1;
    }
    if (turning < 0) return;
    picks[turning] = (picks[turning] ?? 0) + 1;
  }
}
