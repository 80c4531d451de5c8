import fc from "fast-check";

/**
 * Properties are tried on the same values every time, so that a run says something of the change and not of
 * its luck. `PROPERTY_SEED=1234 npm test` looks elsewhere.
 */
fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(process.env["PROPERTY_SEED"] ?? 20_261_125) });
