import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import decoder from 'wav-decoder';
import { newWorld } from '../cli/world.ts';

const RHYME = 'Tap the lid and shake the tin,\nCount the buttons rattling in.\n';
const OTHER = 'Fold the map and find the way,\nPack the lunch and go today.\n';
const ODD = 'Hum.\n';

describe('chantwright parts', () => {
  test('prints the song with a drone when nothing else is said, in a form that is the song’s score too', async () => {
    const { code, out, err } = await newWorld().run(['parts'], { stdin: RHYME });
    const sung = await newWorld().run(['sing'], { stdin: RHYME });
    expect([code, err]).toEqual([0, '']);
    expect(out.startsWith(sung.out.trimEnd())).toBe(true);
    expect(out).toContain('# Drone');
  });

  test('writes every form into a folder, named rhyme.rung.parts', async () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    const argv = [
      'parts',
      '@/tin.txt',
      '--with',
      'drone:level,second',
      '--to',
      'score,json,midi,musicxml,wav,report',
    ];
    const { code, err } = await world.run([...argv, '--out', '@/out']);
    expect([code, err]).toEqual([0, '']);
    expect(world.list('out')).toEqual(
      ['json', 'mid', 'musicxml', 'report.txt', 'score.txt', 'wav'].map((e) => `tin.so-mi.drone-second.${e}`),
    );
    const json = JSON.parse(world.text('out/tin.so-mi.drone-second.json')) as { parts: { kind: string }[] };
    expect(json.parts.map((part) => part.kind)).toEqual(['drone', 'second']);
  });

  test('says why a drone was changed', async () => {
    const song = await newWorld().run(['sing', '--to', 'json', '--rung', 'do-pentatonic'], { stdin: RHYME });
    const record = JSON.parse(song.out) as {
      phrases: { notes: { tone: string | null; pitch: string | null }[] }[];
    };
    const first = record.phrases[0]?.notes[0];
    if (first === undefined) throw new Error('no note');
    first.tone = 'r';
    first.pitch = 'E4';
    const { code, err } = await newWorld().run(['parts'], { stdin: `${JSON.stringify(record)}\n` });
    expect(code).toBe(0);
    expect(err).toMatch(/warning: .*A drone on do rubs against the tune: r on the strong beat of bar 1/);
  });

  test('reports every canon entry and marks the one to take', async () => {
    const { code, out } = await newWorld().run(['parts', '--with', 'canon', '--to', 'report'], {
      stdin: RHYME,
    });
    expect(code).toBe(0);
    expect(out.match(/^[* ] +\d+ beats? +cost/gm)).toHaveLength(4);
    expect(out.match(/^\* /gm)).toHaveLength(1);
  });

  test('makes a canon at the entry that is asked for', async () => {
    const argv = ['parts', '--with', 'canon:3', '--entry', '2', '--to', 'midi'];
    const { code, bytes } = await newWorld().run(argv, { stdin: RHYME });
    expect(code).toBe(0);
    const starts = parseMidi(bytes)
      .tracks.slice(1)
      .map((track) => {
        let at = 0;
        for (const event of track) {
          at += event.deltaTime;
          if (event.type === 'noteOn') return at;
        }
        return -1;
      });
    expect(starts).toEqual([0, 960, 1920]);
  });

  test('pairs a song with the best partner of a folder, and reports which songs go together', async () => {
    const world = newWorld();
    world.put('tin.txt', RHYME);
    world.put('others/map.txt', OTHER);
    world.put('others/hum.txt', ODD);
    const pair = await world.run(['parts', '@/tin.txt', '@/others', '--with', 'partner', '--to', 'json']);
    expect(pair.code).toBe(0);
    expect((JSON.parse(pair.out) as { parts: { name: string }[] }).parts[0]?.name).toBe(
      'Fold the map and find the way',
    );
    const report = await world.run(['parts', '@/tin.txt', '@/others', '--with', 'partner', '--to', 'report']);
    expect(report.code).toBe(0);
    expect(report.out).toMatch(/Tap the lid.* and Fold the map/);
    expect(report.out).toMatch(/No partner here\n +Hum/);
  });

  test('plays the song on the left and its parts on the right', async () => {
    const { code, bytes } = await newWorld().run(['parts', '--with', 'second', '--to', 'wav'], {
      stdin: RHYME,
    });
    expect(code).toBe(0);
    expect(decoder.decode.sync(Buffer.from(bytes)).channelData).toHaveLength(2);
  });

  test.each([
    ['an unknown part', ['--with', 'drones'], 2, /"drones" is no part[^]*Did you mean drone\?/],
    ['an entry without a canon', ['--entry', '4'], 2, /--entry 4 concerns a canon/],
    ['an entry in words', ['--with', 'canon', '--entry', 'four'], 2, /a number of beats from 1 on/],
    ['an entry beyond the song', ['--with', 'canon', '--entry', '99'], 1, /1 to \d+ beats apart; this is 99/],
    ['a partner alone', ['--with', 'partner'], 2, /A partner needs two songs/],
    ['an unknown form', ['--to', 'scores'], 2, /there is no form "scores"/],
  ])('refuses %s', async (_, flags, expected, message) => {
    const { code, out, err } = await newWorld().run(['parts', ...flags], { stdin: RHYME });
    expect([code, out]).toEqual([expected, '']);
    expect(err).toMatch(message);
  });
});
