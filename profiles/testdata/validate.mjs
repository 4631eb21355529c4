// Validates documents with an implementation of JSON Schema that is not ours.
// node validate.mjs FOLDER: FOLDER is where npm installed ajv; standard input is
// {"schemas": {kind: schema}, "documents": [{"name": …, "kind": …, "document": …}]},
// standard output {name: what is wrong with it, or ""}.
import { createRequire } from "node:module";
import { join } from "node:path";
import { readFileSync } from "node:fs";

const require = createRequire(join(process.argv[2], "package.json"));
const Ajv = require("ajv/dist/2020").default;
const { schemas, documents } = JSON.parse(readFileSync(0, "utf8"));

const ajv = new Ajv({ strict: true, strictRequired: false, allowUnionTypes: false, verbose: false });
const validators = {};
for (const [kind, schema] of Object.entries(schemas)) {
  if (!ajv.validateSchema(schema)) throw new Error(kind + ": " + ajv.errorsText());
  validators[kind] = ajv.compile(schema);
}
const verdicts = {};
for (const { name, kind, document } of documents) {
  const validate = validators[kind];
  verdicts[name] = validate(document) ? "" : ajv.errorsText(validate.errors, { dataVar: "" });
}
process.stdout.write(JSON.stringify(verdicts));
