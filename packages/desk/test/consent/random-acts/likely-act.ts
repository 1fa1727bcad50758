import type { Role } from "../../../src/act/actor.ts";
import {
  type Act,
  LABEL,
  NAMES,
  PATIENT_OF_REQUEST,
  PEOPLE,
  PICTURES,
  PUBLICATIONS,
  randomAct,
} from "./acts.ts";
import type { LiteralModel } from "./literal-model.ts";

/**
 * An act by chance, as likely as in a department: most releases go for what somebody once said yes to, most withdrawals
 * end what stands, most roles are such as release. Without that hardly anything would ever leave, and little be tried.
 * The act itself is plain data, whatever it was chosen by.
 */
export function likelyAct(random: () => number, model: LiteralModel, number: number): Act {
  const act = randomAct(random, number);
  const upTo = (n: number) => Math.floor(random() * n);
  if (random() < 0.2) return act;
  switch (act.is) {
    case "release":
      return likelyRelease(act, model, upTo);
    case "withdraw":
    case "narrow": {
      const standing = [...model.said].flatMap(([i, { answer, withdrawnAt }]) =>
        answer === "yes" && withdrawnAt === null ? [i] : [],
      );
      if (standing.length === 0) return act;
      const answer = standing[upTo(standing.length)]!;
      if (act.is === "withdraw") return { ...act, answer };
      const { request, patient } = model.said.get(answer)!;
      const pictures = model.picturesOf(request ?? PATIENT_OF_REQUEST.indexOf(patient));
      return { ...act, answer, pictures: pictures.slice(upTo(2), 2 + upTo(2)) };
    }
    case "give":
    case "refuse": {
      if (!("request" in act.of)) return act;
      const pictures = act.pictures === null ? null : model.picturesOf(act.of.request).slice(upTo(3));
      const named = [...model.portrayed.values()].filter(
        ({ request }) => "request" in act.of && request === act.of.request,
      );
      const name =
        named.length === 0
          ? act.of.name
          : (NAMES as readonly string[]).indexOf(named[upTo(named.length)]!.name);
      return { ...act, of: { ...act.of, name }, pictures: pictures?.length === 0 ? null : pictures };
    }
    case "role": {
      const roles: readonly Role[] = ["photographer", "lead", "photographer", "viewer"];
      return { ...act, person: upTo(PEOPLE), role: roles[upTo(roles.length)]! };
    }
    case "portrayed":
      return { ...act, request: 6 + upTo(2) };
    case "confirm masks": {
      const open = model.pictures.flatMap(({ masksConfirmed }, i) =>
        masksConfirmed || i === LABEL ? [] : [i],
      );
      return open.length === 0 ? act : { ...act, picture: open[upTo(open.length)]! };
    }
    case "take back": {
      const aside = model.pictures.flatMap(({ isAside }, i) => (isAside ? [i] : []));
      return aside.length === 0 ? act : { ...act, picture: aside[upTo(aside.length)]! };
    }
    case "reopen": {
      const request = model.cancelled.indexOf(true);
      return request < 0 ? act : { ...act, request };
    }
    default:
      return act;
  }
}

/** Goes for something that somebody said yes to, perhaps long ago, perhaps withdrawn since. */
function likelyRelease(
  act: Extract<Act, { is: "release" }>,
  model: LiteralModel,
  upTo: (n: number) => number,
): Act {
  const yeses = [...model.said.values()].filter(({ answer }) => answer === "yes");
  if (yeses.length === 0) return act;
  const { scope, publication, request: of, patient, pictures: named } = yeses[upTo(yeses.length)]!;
  const requests = PATIENT_OF_REQUEST.flatMap((whose, i) => (whose === patient ? [i] : []));
  const request = of ?? requests[upTo(requests.length)]!;
  const here = model.picturesOf(request).filter((i) => named === null || named.includes(i));
  const releasers = model.roles.flatMap((roles, i) =>
    ["photographer", "lead"].includes(roles.at(-1)!) ? [i] : [],
  );
  const by = releasers.length === 0 ? act.by : releasers[upTo(releasers.length)]!;
  const from = upTo(here.length);
  const pictures = here.slice(from, from + 1 + upTo(3));
  return {
    ...act,
    by,
    scope,
    request,
    publication: publication === null ? null : (PUBLICATIONS as readonly string[]).indexOf(publication),
    pictures: pictures.length === 0 ? [upTo(PICTURES)] : pictures,
  };
}
