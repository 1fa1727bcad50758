/**
 * Standard uncertainty of a scale's own length, relative: 0.1 % for a rigid printed or engraved scale (assumed;
 * forensic scales are asked to keep 0.1 mm over 100 mm, i.e. half of that and less).
 * @source Ferrucci2013
 */
export const SCALE_TOLERANCE_U = 0.001;
