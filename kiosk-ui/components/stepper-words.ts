/** The sentences of a stepper and of the keys behind it. */
export const stepperWords = {
  less: (label: string) => `${label}: less`,
  more: (label: string) => `${label}: more`,
  enter: (label: string, value: string) => `${label}: ${value}. Type it`,
  bounds: (from: string, to: string) => `Between ${from} and ${to}.`,
  delete: "Delete",
  unsay: "Not said",
  cancel: "Cancel",
  done: "Done",
} as const;
