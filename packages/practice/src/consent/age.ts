/** On which day of a year without 29 February somebody born on it comes of age, month-day. Laws differ. */
export type LeapDayBirthday = "02-28" | "03-01";

/**
 * The day on which somebody comes of age: the anniversary of their birth, from its first moment.
 * @param birthDate YYYY-MM-DD
 * @returns YYYY-MM-DD
 */
export function comesOfAgeOn(birthDate: string, ageOfMajority: number, leapDay: LeapDayBirthday): string {
  const year = Number(birthDate.slice(0, 4)) + ageOfMajority;
  const anniversary = birthDate.slice(5);
  const isLeapYear = new Date(Date.UTC(year, 1, 29)).getUTCDate() === 29;
  const monthDay = anniversary === "02-29" && !isLeapYear ? leapDay : anniversary;
  return `${String(year).padStart(4, "0")}-${monthDay}`;
}

/** The day before or after. @param day YYYY-MM-DD */
export function daysLater(day: string, days: number): string {
  const date = new Date(`${day}T00:00:00Z`);
  date.setUTCDate(date.getUTCDate() + days);
  return date.toISOString().slice(0, 10);
}
