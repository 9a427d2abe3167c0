import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import decoder from 'wav-decoder';
import { newWorld } from '../cli/world.ts';

const RHYME = 'Tap the lid and shake the tin,\nCount the buttons rattling in.\n';

describe('chantwright practice', () => {
  test('prints the leader’s page of the plan learn when nothing else is said', async () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    const { code, out, err } = await world.run(['practice', '@/tin.txt']);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('Practice plan "learn" on so-mi: 9 steps');
    expect(out.match(/^Voice care$/gm)).toHaveLength(1);
  });

  test('writes page, MIDI and WAV into a folder, named rhyme.rung.plan', async () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    const argv = [
      'practice',
      '@/tin.txt',
      '--rung',
      'so-mi,so-mi-la',
      '--plan',
      'echo',
      '--to',
      'text,midi,wav',
    ];
    const { code, err } = await world.run([...argv, '--out', '@/out']);
    expect([code, err]).toEqual([0, '']);
    expect(world.list('out')).toEqual(
      ['so-mi-la', 'so-mi'].flatMap((rung) =>
        ['leader.txt', 'mid', 'wav'].map((ending) => `tin.${rung}.echo.${ending}`),
      ),
    );
  });

  test('makes a recording for each step, and one page with the times of each', async () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    const argv = [
      'practice',
      '@/tin.txt',
      '--plan',
      'echo',
      '--by-step',
      '--to',
      'text,wav',
      '--out',
      '@/out',
    ];
    expect((await world.run(argv)).code).toBe(0);
    expect(world.list('out')).toEqual([
      ...['01', '02', '03', '04'].map((step) => `tin.so-mi.echo.${step}.wav`),
      'tin.so-mi.echo.leader.txt',
    ]);
    expect(world.text('out/tin.so-mi.echo.leader.txt').match(/^ +1 +0:00\.0 +3 bars +tuning/gm)).toHaveLength(
      4,
    );
  });

  test('takes steps, repeats, tempo, silent lines and solfa from flags', async () => {
    const world = newWorld();
    const argv = ['practice', '--steps', 'listen:2,inner', '--silent', '1', '--tempo', '80', '--solfa'];
    const { code, out } = await world.run(argv, { stdin: RHYME });
    expect(code).toBe(0);
    expect(out).toMatch(/1\. Listen to the whole song, on solfa, 2 times \(80 beats a minute/);
    expect(out).toMatch(/INSIDE +Tap the lid/);
    expect(out).toMatch(/TOGETHER +Count the buttons/);
  });

  test('takes a plan from a file', async () => {
    const world = newWorld();
    world.put(
      'friday.yaml',
      'plan: Friday\ntempo: 96\nsteps:\n  - listen\n  - { step: inner, silent: [2] }\n',
    );
    const { code, out } = await world.run(['practice', '--plan-file', '@/friday.yaml'], { stdin: RHYME });
    expect(code).toBe(0);
    expect(out).toContain('Practice plan "Friday" on so-mi: 2 steps');
  });

  test('sings with parts on tracks of their own', async () => {
    const world = newWorld();
    const argv = ['practice', '--steps', 'sing-together', '--with', 'drone,second', '--to', 'midi'];
    const { code, bytes } = await world.run(argv, { stdin: RHYME });
    expect(code).toBe(0);
    const names = parseMidi(bytes).tracks.flatMap((track) =>
      track.flatMap((event) => (event.type === 'trackName' ? [event.text] : [])),
    );
    expect(names).toEqual([
      'Tap the lid and shake the tin',
      'leader',
      'tuning',
      'beat',
      'Drone',
      'Second voice',
    ]);
  });

  test('takes songs as JSON, and its own tempo for them', async () => {
    const world = newWorld();
    const sung = await world.run(['sing', '--to', 'json'], { stdin: RHYME });
    const { code, out } = await world.run(['practice', '--tempo', '77'], { stdin: sung.out });
    expect(code).toBe(0);
    expect(out).toContain('77 beats a minute');
  });

  test('leaves leader’s pages in a folder alone when it looks for rhymes', async () => {
    const world = newWorld();
    world.put('songs/tin.txt', RHYME);
    await world.run(['practice', '@/songs', '--out', '@/songs']);
    const again = await world.run(['practice', '@/songs', '--plan', 'echo', '--out', '@/out']);
    expect(again.code).toBe(0);
    expect(world.list('out')).toEqual(['tin.so-mi.echo.leader.txt']);
  });

  test.each([
    ['an unknown plan', ['--plan', 'eco'], /no such plan[^]*Did you mean echo\?/],
    ['two plans', ['--plan', 'echo', '--steps', 'listen'], /give one of them/],
    ['an unknown step', ['--steps', 'lisen'], /there is no step "lisen"[^]*Did you mean listen\?/],
    ['a step done no times', ['--steps', 'listen:0'], /1 to 8 times/],
    ['silent lines without inner hearing', ['--silent', '2'], /--silent concerns the step inner/],
    ['silent lines in words', ['--plan', 'inner', '--silent', 'two'], /--silent two: here go numbers/],
    ['a missing plan file', ['--plan-file', '@/none.yaml'], /none\.yaml: There is no such file/],
    ['a canon', ['--with', 'canon'], /practise a canon from what chantwright parts makes/],
    ['an unknown part', ['--with', 'drum'], /"drum" is no part/],
    ['an unknown form', ['--to', 'wave'], /there is no form "wave"/],
    ['several forms on one stream', ['--to', 'wav,midi'], /Several forms cannot share one stream/],
  ])('refuses %s and writes nothing', async (_, flags, message) => {
    const world = newWorld();
    const { code, out, err } = await world.run(['practice', ...flags], { stdin: RHYME });
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(message);
  });

  test('points into a plan file that is not YAML', async () => {
    const world = newWorld();
    world.put('bad.yaml', 'steps: [listen\n');
    const { code, err } = await world.run(['practice', '--plan-file', '@/bad.yaml'], { stdin: RHYME });
    expect(code).toBe(2);
    expect(err).toMatch(/bad\.yaml, line 1/);
  });

  test('refuses stanzas that the song has not, exit code 1', async () => {
    const { code, out, err } = await newWorld().run(['practice', '--stanzas', '3'], { stdin: RHYME });
    expect([code, out]).toEqual([1, '']);
    expect(err).toContain('The plan names stanza 3');
  });

  test('sends a recording through a pipe, never to a terminal', async () => {
    const world = newWorld();
    const argv = ['practice', '--steps', 'scale', '--to', 'wav'];
    const piped = await world.run(argv, { stdin: RHYME });
    expect(piped.code).toBe(0);
    expect(decoder.decode.sync(Buffer.from(piped.bytes)).sampleRate).toBe(44100);
    const typed = await world.run(argv, { stdin: RHYME, terminals: ['stdout'] });
    expect([typed.code, typed.out]).toEqual([2, '']);
  });

  test('as installed makes MP3 by the optional package', () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    const program = fileURLToPath(new URL('../../bin/chantwright.js', import.meta.url));
    const argv = ['practice', 'tin.txt', '--steps', 'scale', '--to', 'mp3', '--out', 'out'];
    const { status, stderr } = spawnSync(process.execPath, [program, ...argv], {
      cwd: world.folder,
      encoding: 'utf8',
    });
    expect([status, stderr]).toEqual([0, '']);
    expect(world.list('out')).toEqual(['tin.so-mi.own.mp3']);
  });
});
