/** A hundred takes of an eight-line rhyme on the largest rung; run in a process of its own by takes.mjs. */
import { setTakes } from '../../src/setting/melody.ts';
import { RUNGS } from '../../src/setting/rungs.ts';
import { eightLines } from './tune-rhythms.ts';

const rung = RUNGS.reduce((a, b) => (b.tones.length > a.tones.length ? b : a));
const options = { rung, do: null, tempoBpm: null, seed: 1, take: 1, slur: true, voice: null, family: null };
const outcomes = setTakes(eightLines(), options, { first: 1, last: 100, families: [] });
if (outcomes.length !== 100 || !outcomes.every((o) => o.ok)) throw new Error('not a hundred songs');
