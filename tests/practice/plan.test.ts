import { describe, expect, test } from 'vitest';
import { PLAN_NAMES, planNamed, readPlan, STEP_NAMES } from '../../src/practice/plan.ts';

describe('a plan file', () => {
  test('may be a plain list of steps', () => {
    const plan = readPlan({ steps: ['listen', 'sing-by-phrase'] });
    expect(plan.ok && plan.value).toEqual({
      name: 'own',
      tempoBpm: null,
      stanzas: null,
      steps: [
        { step: 'listen', times: 1, on: 'words', silent: null, tempoBpm: null },
        { step: 'sing-by-phrase', times: 1, on: 'words', silent: null, tempoBpm: null },
      ],
    });
  });

  test('may say everything', () => {
    const plan = readPlan({
      plan: 'Friday',
      tempo: 96,
      stanzas: 1,
      steps: [{ step: 'inner', times: 2, on: 'solfa', silent: [4, 2, 4], tempo: 80 }],
    });
    expect(plan.ok && plan.value).toEqual({
      name: 'Friday',
      tempoBpm: 96,
      stanzas: [1],
      steps: [{ step: 'inner', times: 2, on: 'solfa', silent: [2, 4], tempoBpm: 80 }],
    });
  });

  test.each([
    ['a text', 'echo', /this is no plan/],
    ['nothing', null, /this is no plan/],
    ['a list', ['listen'], /this is no plan/],
    ['no steps', {}, /1 to 100 steps/],
    ['an empty list of steps', { steps: [] }, /1 to 100 steps/],
    ['an unknown key', { steps: ['listen'], tempp: 90 }, /tempp: this is not known/],
    ['a step that is not known', { steps: ['listn'] }, /steps 1: there is no step "listn"/],
    ['a step that is a number', { steps: [3] }, /steps 1: a step is a name/],
    ['a step without a name', { steps: [{ times: 2 }] }, /steps 1: there is no step "nothing"/],
    ['too many times', { steps: [{ step: 'listen', times: 9 }] }, /steps 1, times: .*1 to 8/],
    ['half a time', { steps: [{ step: 'listen', times: 1.5 }] }, /steps 1, times/],
    ['another language', { steps: [{ step: 'listen', on: 'french' }] }, /steps 1, on: .*"french"/],
    ['silent lines where all sound', { steps: [{ step: 'listen', silent: [1] }] }, /only the step inner/],
    ['a silent line 0', { steps: [{ step: 'inner', silent: [0] }] }, /steps 1, silent: .*from 1/],
    ['a tempo in words', { steps: ['listen'], tempo: 'fast' }, /tempo: .*40 to 208.*"fast"/],
    ['a tempo too slow', { steps: [{ step: 'listen', tempo: 20 }] }, /steps 1, tempo: .*"20"/],
    ['a name that is a number', { plan: 5, steps: ['listen'] }, /plan: the name/],
    ['an unknown key in a step', { steps: [{ step: 'listen', silnt: 1 }] }, /steps 1, silnt/],
  ])('with %s is refused, and the message says where', (_, value, message) => {
    const plan = readPlan(value);
    expect(plan.ok).toBe(false);
    expect(plan.problems.every((p) => p.code === 'bad-plan' && p.severity === 'error')).toBe(true);
    expect(plan.problems.map((p) => p.message).join('\n')).toMatch(message);
  });

  test('with a slip of the pen gets the name that is near', () => {
    expect(readPlan({ steps: ['sing-by-phrse'] }).problems[0]?.hint).toBe('Did you mean sing-by-phrase?');
    expect(readPlan({ steps: ['listen'], temp: 90 }).problems[0]?.hint).toBe('Did you mean tempo?');
  });

  test('with several faults is told of all of them', () => {
    expect(readPlan({ tempo: 1, steps: ['x', { step: 'listen', times: 0 }] }).problems).toHaveLength(3);
  });
});

describe('the built-in plans', () => {
  test('are plans that a file could say', () => {
    for (const { name, steps } of PLAN_NAMES.map(planNamed)) {
      const file = {
        plan: name,
        steps: steps.map(({ step, times, on }) => ({ step, times, on })),
      };
      const plan = readPlan(file);
      expect(plan.ok && plan.value).toEqual(planNamed(name as (typeof PLAN_NAMES)[number]));
    }
  });

  test('together use every step', () => {
    const used = new Set(PLAN_NAMES.map(planNamed).flatMap((plan) => plan.steps.map((step) => step.step)));
    expect([...STEP_NAMES].filter((name) => !used.has(name))).toEqual([]);
  });
});
