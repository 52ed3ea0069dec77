// The arrows of the house: each room of src knows only the rooms before it (see DEVELOPERS.md).
const mayImport = {
  records: [],
  statistics: [],
  sheets: ["records"],
  book: ["records"],
  intake: ["records", "sheets", "book"],
  exposure: ["records", "book", "statistics"],
  findings: ["records", "book", "exposure", "statistics"],
  report: ["records", "findings"],
  output: ["records", "sheets", "book", "intake", "exposure", "findings", "report"],
  demo: ["records", "statistics"],
};

const rooms = Object.entries(mayImport).map(([room, others]) => ({
  name: `${room}-knows-only-earlier-rooms`,
  severity: "error",
  from: { path: `^src/${room}/` },
  to: { path: "^src/", pathNot: [room, ...others].map((other) => `^src/${other}/`) },
}));

export default {
  forbidden: [
    ...rooms,
    {
      name: "no-cycles",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "src-knows-no-platform",
      severity: "error",
      from: { path: "^src/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "src-knows-no-rim",
      severity: "error",
      from: { path: "^src/" },
      to: { path: "^(pipelines|notebooks|tests)/" },
    },
    {
      name: "pipelines-know-no-notebooks",
      severity: "error",
      from: { path: "^pipelines/" },
      to: { path: "^notebooks/" },
    },
    {
      name: "nothing-unresolved",
      severity: "error",
      from: {},
      to: { couldNotResolve: true, pathNot: "\\?(worker&)?url$" },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.base.json" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "require", "node", "default", "types"],
    },
  },
};
