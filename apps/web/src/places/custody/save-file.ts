import { ownPageHeaders, Refused } from "../../api/client.ts";

/** Has the server make a file and hands it to the browser's own saving. @throws Refused */
export async function saveFile(method: "GET" | "POST", path: string, body?: unknown): Promise<void> {
  const response = await fetch(`/api${path}`, {
    method,
    headers: { ...ownPageHeaders(), ...(body === undefined ? {} : { "content-type": "application/json" }) },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  if (!response.ok) throw new Refused((await response.json()) as Refused["report"], response.status);
  const name = /filename="([^"]+)"/.exec(response.headers.get("content-disposition") ?? "")?.[1];
  const address = URL.createObjectURL(await response.blob());
  const link = document.createElement("a");
  link.href = address;
  link.download = name ?? "samescale";
  link.click();
  URL.revokeObjectURL(address);
}
