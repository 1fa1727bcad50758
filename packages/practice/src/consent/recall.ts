import type { ConsentScope } from "./scopes.ts";

/** What happens to a release whose consent ended after it went out. */
export interface Recall {
  /** Whether somebody has to write to the recipient. */
  readonly askBack: boolean;
  /** For the person who writes: what to ask for, and what cannot be had. */
  readonly says: string;
}

/** Common practice, no source; trade-facts 7.2: withdrawal cannot recall print, the copy in the record is normally kept. */
export const RECALLS: Readonly<Record<ConsentScope, Recall>> = {
  "health-record": {
    askBack: false,
    says: "The copy in the health record is normally kept, as part of the record of care; nobody is asked to give it back. Local policy and law decide otherwise where they do.",
  },
  requester: {
    askBack: true,
    says: "Ask them to use it no more and to delete copies of their own. What has become part of the health record normally stays there.",
  },
  teaching: {
    askBack: true,
    says: "Ask them to take it out of their teaching, to delete every copy, and to say when that is done. What was shown cannot be unseen.",
  },
  "publication-print": {
    askBack: true,
    says: "Print cannot be called back. Ask them to leave it out of every further printing, edition and translation, and to take it out of what they keep.",
  },
  "publication-open-web": {
    askBack: true,
    says: "Ask them to take it off the web and to delete it. Copies that others have made cannot be called back.",
  },
  research: {
    askBack: true,
    says: "Ask them to take it out of the study and to delete it, as far as the study's approval provides. Results that are published cannot be called back.",
  },
  evidence: {
    askBack: true,
    says: "Tell them that consent ended, and ask your legal adviser: what has been handed over as evidence stays where the law keeps it.",
  },
};
