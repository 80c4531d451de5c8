/** The ice point on the kelvin scale: 0 °C, by definition of the degree Celsius (SI Brochure, section 2.3.1). */
export const ICE_POINT_KELVIN = 273.15;

/** One torr, Pa: a standard atmosphere divided by 760 (NIST SP 811, appendix B). */
const PASCALS_PER_TORR = 101_325 / 760;

/**
 * One conventional millimetre of mercury, Pa: 13 595.1 kg/m³ under 9.806 65 m/s²
 * (NIST SP 811, appendix B, which prints 133.3224; written here from memory with the digits of the product).
 */
const PASCALS_PER_MILLIMETRE_OF_MERCURY = 133.322387415;

/** One conventional inch of mercury, Pa (NIST SP 811, appendix B: 3386.389; from memory). */
const PASCALS_PER_INCH_OF_MERCURY = 3386.389;

const PASCALS_PER_HECTOPASCAL = 100;

/**
 * A point on the Fahrenheit scale, °C: t/°C = (t/°F − 32) / 1.8, exact (NIST SP 811, appendix B).
 * @example celsiusFromFahrenheit(1400) // 760
 */
export function celsiusFromFahrenheit(fahrenheit: number): number {
  return ((fahrenheit - 32) * 5) / 9;
}

/**
 * A point on the Celsius scale, °F.
 * @example fahrenheitFromCelsius(760) // 1400
 */
export function fahrenheitFromCelsius(celsius: number): number {
  return (celsius * 9) / 5 + 32;
}

/**
 * A temperature difference, or a rate's: K to Fahrenheit degrees, which have no offset.
 * @example fahrenheitDifferenceFromKelvin(50) // 90
 */
export function fahrenheitDifferenceFromKelvin(kelvin: number): number {
  return (kelvin * 9) / 5;
}

/**
 * A thermodynamic temperature, °C.
 * @example celsiusFromKelvin(273.15) // 0
 */
export function celsiusFromKelvin(kelvin: number): number {
  return kelvin - ICE_POINT_KELVIN;
}

/**
 * A point on the Celsius scale, K.
 * @example kelvinFromCelsius(0) // 273.15
 */
export function kelvinFromCelsius(celsius: number): number {
  return celsius + ICE_POINT_KELVIN;
}

/**
 * A pressure in kilopascals, hPa (equal to mbar).
 * @example hectopascalsFromKilopascals(100) // 1000
 */
export function hectopascalsFromKilopascals(kilopascals: number): number {
  return kilopascals * 10;
}

/**
 * A pressure in torr, hPa.
 * @example Math.round(hectopascalsFromTorr(760) * 100) / 100 // 1013.25
 */
export function hectopascalsFromTorr(torr: number): number {
  return (torr * PASCALS_PER_TORR) / PASCALS_PER_HECTOPASCAL;
}

/**
 * A pressure in conventional millimetres of mercury, hPa.
 * @example Math.round(hectopascalsFromMillimetresOfMercury(750) * 100) / 100 // 999.92
 */
export function hectopascalsFromMillimetresOfMercury(millimetres: number): number {
  return (millimetres * PASCALS_PER_MILLIMETRE_OF_MERCURY) / PASCALS_PER_HECTOPASCAL;
}

/**
 * A pressure in conventional inches of mercury, hPa: an absolute pressure, not the reading of a vacuum gauge
 * that counts down from the room's.
 * @example Math.round(hectopascalsFromInchesOfMercury(29.92) * 10) / 10 // 1013.2
 */
export function hectopascalsFromInchesOfMercury(inches: number): number {
  return (inches * PASCALS_PER_INCH_OF_MERCURY) / PASCALS_PER_HECTOPASCAL;
}
