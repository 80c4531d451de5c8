import * as z from "zod";

/** How a piece came out, on one ordered scale from too little heat to too much. */
export const gradeWordSchema = z.enum(["raw", "milky", "right", "glassy", "slumped"]);
export type GradeWord = z.infer<typeof gradeWordSchema>;

/** A grade given to a bake; later grades are added, none is overwritten. */
export const gradeSchema = z.object({
  bakeId: z.number().int(),
  grade: gradeWordSchema,
  note: z.string().max(500).nullable(),
  by: z.string().max(40).nullable(),
  gradedAtEpochMilliseconds: z.number(),
});
export type Grade = z.infer<typeof gradeSchema>;
