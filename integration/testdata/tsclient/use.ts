// Uses the service through types that were generated from its OpenAPI file.
import createClient from "openapi-fetch";
import type { components, paths } from "./schema.js";

declare const process: { argv: string[] };
const url = process.argv[2];
if (!url) throw new Error("say where the service is");
// The second type says in which forms answers are read: what else an address can be asked for does not get in the way.
const client = createClient<paths, "application/json" | "application/problem+json">({ baseUrl: url });
const path = { family: "pl-85", component: "counter-shaft", spec: "axial-play" };
const address = "/v1/families/{family}/components/{component}/specs/{spec}";

const one = await client.GET(address, { params: { path } });
if (!one.data) throw new Error(`spec: ${one.response.status}`);
const spec: components["schemas"]["Spec"] = one.data.spec;
console.log("spec", spec.key, spec.unit, spec.band?.lower, spec.band?.upper);
for (const caution of one.data.cautions) console.log("caution", caution.code);

const tag = one.response.headers.get("ETag") ?? "";
const again = await client.GET(address, { params: { path, header: { "If-None-Match": tag } } });
console.log("again", again.response.status);

const judged = await client.POST("/v1/evaluations", {
  body: {
    checks: [
      {
        id: "1",
        spec: spec.key,
        unit: "mm",
        readings: [{ value: 0.15 }, { value: 0.2 }, { value: 0.15 }],
        instrument: { kind: "dial", standard_uncertainty: 0.01 },
      },
    ],
  },
});
if (!judged.data) throw new Error(`evaluation: ${judged.response.status}`);
for (const r of judged.data.results) console.log("verdict", r.id, r.verdict, r.action, r.value);

const none = await client.GET(address, { params: { path: { ...path, spec: "none" } } });
if (!none.error) throw new Error("a spec that does not exist was answered");
console.log("problem", none.error.status, none.error.code);
