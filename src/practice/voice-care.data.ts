/**
 * What every leader's page says about voices, once. Facts: soft singing and no calling for young voices (Howard, The
 * Child-Voice in Singing, 1895; school district guidelines); warning signs (clinic pages); two weeks (Harris and
 * Cavalli, British Voice Association, 2011). The rest is common practice.
 */
export const VOICE_CARE: readonly string[] = [
  'Voice care',
  'Sing lightly, and play the recording softly enough that nobody has to sing over it. Speaking, calling and singing',
  'are different voices; calling is not loud singing. Where a tone lies too low or too high for some, choose another',
  'do or let them listen; nobody should push for a tone. A child who is hoarse, tired in the voice or in discomfort',
  'rests it: listening, moving to the beat and singing inside the head still take part. A voice that is not itself',
  'again after two weeks belongs before a doctor. You know your children: your own judgement, the rules of your school',
  'and licensed clinicians come before anything on this page.',
];
