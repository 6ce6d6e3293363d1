// The module as a program under Node has it: plain objects in and out, errors with the field at fault.
// Usage: node module.mjs DIRECTORY_OF_THE_MODULE DEMO_FILE [REPORT_OF_THE_COMMAND_LINE]

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";

const [directory, demoFile, reportFile] = process.argv.slice(2);
const module = await import(pathToFileURL(`${directory}/counterpoise.js`));
await module.default({ module_or_path: await readFile(`${directory}/counterpoise_bg.wasm`) });
const { check, commonMarks, demo, explain, fromLink, lensChanges, lensPreview, lensSet, library, toLink, trimWeights } =
  module;
const { withTrimWeights } = module;

const text = await readFile(demoFile, "utf8");
const read = () => JSON.parse(text);

// The answers are those of the command line, to the last digit; only the sentences are more.
const report = check(read());
const ofSet = trimWeights(
  read(),
  read().sections.lenses.data.map((lens) => lens.id),
);
assert.equal(report.slides[0].name, "Plate");
const worded = (findings) => findings.length > 0 && findings.every((finding) => finding.text.length > 10);
assert.ok(worded(report.findings) && worded(report.fit) && worded(report.stiffness.known.findings));
if (reportFile) {
  const bare = structuredClone(report);
  for (const finding of [...bare.findings, ...bare.fit, ...bare.stiffness.known.findings]) delete finding.text;
  bare.trim = ofSet;
  assert.deepEqual(bare, JSON.parse(await readFile(reportFile, "utf8")));
}

// The file, the built-in demonstration and the link hold the same package.
assert.deepEqual(check(demo()), report);
const link = toLink(read());
assert.ok(link.length <= 1000);
assert.deepEqual(fromLink(`https://example.org/#${link}`), demo());

// Reasons and lenses.
assert.equal(report.day.blocks.length, read().sections.moves.data.length);
assert.ok(Math.abs(report.day.changes[0].at_min.value - report.power.change_min.value) < 1e-6);
assert.equal(report.wiring.verdict, "keep");
const reasons = explain(read(), { mark: "plate" });
assert.ok(reasons.of.length > 0 && reasons.unit === "m");
assert.equal(explain(read(), { mark: "no such slide" }), null);
assert.equal(lensSet(read()).length, read().sections.lenses.data.length);
const others = read().sections.lenses.data.filter((lens) => lens.id !== read().sections.package.data.active_lens);
const changes = lensChanges(read());
assert.deepEqual(new Set(changes.map((change) => change.to)), new Set(others.map((lens) => lens.id)));
assert.ok(changes.every((change) => change.minutes > 0 && change.arithmetic.value === change.minutes));
const preview = lensPreview(read(), others[0].id);
assert.ok(["yes", "yes_if", "no"].includes(preview.verdict));
assert.deepEqual(preview.change, changes.find((change) => change.to === others[0].id));
assert.ok(preview.view.known.arithmetic.of.length > 0);
const unmeasured = read();
delete unmeasured.sections.structure;
assert.deepEqual(lensPreview(unmeasured, others[0].id).view, {
  needs: ["structure.picture_width_m", "structure.picture_height_m"],
});
assert.equal(lensPreview(read(), 77), null);
const common = commonMarks(read(), others.map((lens) => lens.id));
assert.equal(common.lenses.length, others.length);
assert.ok(common.axes.every((axis) => axis.worst_kg_m - axis.at_least_kg_m < 1e-9));
assert.equal(commonMarks(read(), []), null);
assert.equal(library().heads.length, 4);

// Trim weights: none makes a prime match the zoom; among the primes they do, and what they are put into matches.
assert.ok(ofSet.lenses.every((lens) => lens.trims.length === 0 && lens.nearest.use_of_allowed > 1));
const primes = others.map((lens) => lens.id);
const trim = trimWeights(read(), primes);
const weighted = trim.lenses.find((lens) => lens.trims[0].weights.length > 0);
const matched = trimWeights(withTrimWeights(read(), primes, weighted.lens), primes);
assert.deepEqual(matched.lenses.find((lens) => lens.lens === weighted.lens).trims[0].weights, []);
assert.equal(trimWeights(read(), []), null);

// A section of another version goes through untouched.
const strange = read();
strange.sections.beams = { version: 3, data: { list: [1, "two", null] } };
assert.deepEqual(fromLink(toLink(strange)).sections.beams, strange.sections.beams);

// Faults are errors that name the field.
const fails = (work, field, words) =>
  assert.throws(work, (error) => {
    assert.ok(error instanceof Error);
    assert.equal(error.name, "PackageError");
    assert.equal(error.field, field);
    assert.match(error.message, words);
    return true;
  });
const broken = (change) => {
  const file = read();
  change(file.sections);
  return () => check(file);
};
fails(broken((s) => (s.parts.data[3].mass.own.kg = 1200)), "parts[3].mass.kg", /1200 kg is outside 0 to 200 kg/);
fails(broken((s) => (s.parts.data[3].mass.own.kg = "heavy")), "parts[3].mass.own.kg", /heavy/);
fails(broken((s) => delete s.head.data.payload_kg), "head", /payload_kg/);
fails(broken((s) => (s.parts.data[3].mass.own.kg = NaN)), "parts[3].mass.kg", /not a number/);
fails(() => check({}), "", /./);
fails(() => check(null), "", /./);
fails(() => explain(read(), { marks: "plate" }), "answer", /marks/);
fails(() => fromLink(link.slice(0, -20)), "", /incomplete/);
const two = broken((s) => {
  s.moves.data[0].airspeed_m_s = 400;
  s.moves.data[0].gust_factor = 0.5;
});
assert.throws(two, (error) => error.faults.length === 2 && error.faults[1].field === "moves[0].gust_factor");

console.log("the module answers as the command line does");
