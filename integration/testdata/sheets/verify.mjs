// Checks a signed sheet by the keys that the service publishes, with a library that is not behind the service.
//   node verify.mjs URL < token
import { compactVerify, createRemoteJWKSet, calculateJwkThumbprint, decodeProtectedHeader } from "jose";
import { text } from "node:stream/consumers";

const url = process.argv[2];
const token = (await text(process.stdin)).trim();
const keys = createRemoteJWKSet(new URL("/.well-known/jwks.json", url));
const { payload, protectedHeader } = await compactVerify(token, keys, { algorithms: ["EdDSA"] });
const sheet = JSON.parse(new TextDecoder().decode(payload));
console.log("signed", protectedHeader.alg, sheet.outcome.verdict, sheet.lines.length);
const set = await (await fetch(new URL("/.well-known/jwks.json", url))).json();
for (const key of set.keys) {
  console.log("thumbprint", (await calculateJwkThumbprint(key)) === key.kid);
}
console.log("named", set.keys[0].kid === decodeProtectedHeader(token).kid);
const [head, body, signature] = token.split(".");
const other = Buffer.from(JSON.stringify({ ...sheet, outcome: { verdict: "pass" } })).toString("base64url");
await compactVerify([head, other, signature].join("."), keys).then(
  () => console.log("altered", "accepted"),
  (e) => console.log("altered", e.code),
);
