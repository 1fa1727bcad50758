import type { ConsentAnswer, UseWanted } from "../../src/consent/consent-for.ts";

/**
 * The rule once more, slowly and from its words alone, as sentences with "some" and "no": a picture may be used when, for each
 * person whose word counts, there is some yes that reaches this use and that no other word of that person stands against.
 */
export function mayUse(answers: readonly ConsentAnswer[], wanted: UseWanted): boolean {
  if (wanted.frameId === null) {
    const everyName = ["a picture that nobody named", ...answers.flatMap((a) => a.frames ?? [])];
    return everyName.every((frameId) => mayUse(answers, { ...wanted, frameId }));
  }
  const frameId = wanted.frameId;
  const publishing = wanted.scope === "publication-print" || wanted.scope === "publication-open-web";
  if (publishing && (wanted.publication === null || wanted.publication === "")) return false;
  const at = new Date(wanted.at);

  const aboutThisQuestion = (a: ConsentAnswer): boolean =>
    a.scope === wanted.scope &&
    (!publishing || a.publication === null || a.publication === wanted.publication);
  const aboutThisPicture = (a: ConsentAnswer): boolean =>
    (a.requestId === null || a.requestId === wanted.requestId) &&
    (a.frames === null || a.frames.includes(frameId));
  const namesThisPicture = (a: ConsentAnswer): boolean => (a.frames ?? []).includes(frameId);
  const saysNo = (a: ConsentAnswer): boolean => a.answer === "refused" || a.withdrawnAt !== null;
  const matters = (a: ConsentAnswer): boolean =>
    aboutThisQuestion(a) && (aboutThisPicture(a) || (saysNo(a) && namesThisPicture(a)));

  const reachesThisUse = (a: ConsentAnswer): boolean => {
    if (a.answer === "refused" || a.withdrawnAt !== null) return false;
    if (new Date(a.givenAt) > at) return false;
    if (a.until !== null && at.toISOString().slice(0, 10) > a.until) return false;
    if (publishing && a.publication === null) return false;
    if (a.capacity === "best-interest") return a.scope === "health-record" || a.scope === "requester";
    if (a.capacity === "legal-basis") return a.scope === "evidence";
    if (a.capacity === "parental-responsibility") return a.scope !== "evidence";
    return true;
  };
  const standsAgainst = (other: ConsentAnswer, yes: ConsentAnswer): boolean => {
    const since = new Date(yes.givenAt);
    if (other.answer === "refused" && new Date(other.givenAt) >= since) return true;
    if (other.withdrawnAt !== null && new Date(other.withdrawnAt) >= since) return true;
    // A yes that has come after this one, or with it, and has been heard, stands in its place.
    const heard = other.answer === "given" && new Date(other.givenAt) <= at;
    return heard && new Date(other.givenAt) >= since && !reachesThisUse(other);
  };

  const counted = answers.filter(matters);
  const persons = [...(wanted.persons ?? []), ...counted.map((a) => a.person)];
  if (persons.length === 0) return false;
  return persons.every((person) => {
    const said = counted.filter((a) => a.person === person);
    return said.some((yes) => reachesThisUse(yes) && !said.some((other) => standsAgainst(other, yes)));
  });
}
