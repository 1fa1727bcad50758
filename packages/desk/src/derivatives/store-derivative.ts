import { type DerivativeKind, sha256Of } from "@samescale/record";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type Act, type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";

export interface NewDerivative {
  /** One of the two at least. */
  readonly frameId?: string;
  readonly requestId?: string;
  /** What made it, so that it can be made again. */
  readonly recipe: {
    readonly step: string;
    readonly version: number;
    readonly parameters: Readonly<Record<string, unknown>>;
  };
  /** SHA-256 of what it was made from: originals, or derivatives stored before. At least one. */
  readonly inputs: readonly string[];
  readonly body: object;
}

/** `sha256` is what later derivatives name as their input. */
export interface StoredDerivative {
  readonly id: string;
  readonly sha256: string;
}

/** What a scale in a picture said. */
export const storeReading = storeAct("reading");
/** Regions that a person drew or accepted. */
export const storeOutline = storeAct("outline");
export const storeMeasurement = storeAct("measurement");
/** A subject over time: aligned pictures and what changed. */
export const storeSeries = storeAct("series");
/** A frame judged against its planned view. */
export const storeVerdict = storeAct("verdict");

function storeAct(kind: DerivativeKind): Act<NewDerivative, StoredDerivative> {
  return defineAct({
    name: `${kind}.store`,
    may: PHOTOGRAPHERS,
    consent: "nothing leaves",
    async run(derivative, context) {
      const fault = await faultOf(derivative, context);
      if (fault !== null) return { refused: fault };
      const { writing, now, newId } = context;
      const id = newId();
      const body = jsonText(derivative.body);
      const sha256 = sha256Of(body);
      await writing.insert(kind, {
        id,
        frame_id: derivative.frameId ?? null,
        request_id: derivative.requestId ?? null,
        recipe: jsonText(derivative.recipe),
        inputs: jsonText(derivative.inputs),
        body,
        sha256,
        made_at: now,
      });
      const { step, version } = derivative.recipe;
      return {
        value: { id, sha256 },
        deed: { act: `${kind}.store`, subject: `${kind}/${id}`, details: { step, version, sha256 } },
      };
    },
  });
}

/** A derivative that does not say what it is of, how it was made or from what is not kept. */
async function faultOf(derivative: NewDerivative, { tables }: ActContext): Promise<string | null> {
  const { frameId, requestId, recipe, inputs } = derivative;
  if (frameId === undefined && requestId === undefined) return "It belongs to no frame and no request";
  if (recipe.step === "" || !Number.isInteger(recipe.version))
    return "Its recipe needs a step and a whole version number";
  if (inputs.length === 0) return "It does not say what it was made from";
  if (frameId !== undefined) {
    const frame = await tables.selectFrom("frame").select("id").where("id", "=", frameId).executeTakeFirst();
    if (!frame) return `There is no frame ${frameId}`;
  }
  if (requestId !== undefined) {
    const request = await tables
      .selectFrom("request")
      .select("id")
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return `There is no request ${requestId}`;
  }
  for (const input of inputs) {
    if (!(await isKept(input, tables))) return `It was made from ${input}, which is not in the library`;
  }
  return null;
}

async function isKept(sha256: string, tables: ActContext["tables"]): Promise<boolean> {
  for (const table of ["file", "reading", "outline", "measurement", "series", "verdict"] as const) {
    const found = await tables
      .selectFrom(table)
      .select("sha256")
      .where("sha256", "=", sha256)
      .executeTakeFirst();
    if (found) return true;
  }
  return false;
}
