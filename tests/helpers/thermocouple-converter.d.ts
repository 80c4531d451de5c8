declare module "thermocouple-converter" {
  const converter: { convert(value: number, options: { type: string; input: "mv" | "degc" }): number };
  export default converter;
}
