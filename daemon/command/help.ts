import { GOOD, type Verb, write } from "#daemon/command/output";

const HELP = `bakeside: a furnace-side kiosk that compares a bake with its plan

  bakeside serve [--port ADDRESS]…      record, compare and show; prints the kiosk's address
      --port ADDRESS      a furnace: /dev/serial/by-id/…, tcp://host:port or a recorded file; repeatable
      --format SPEC       how its lines read (default: auto, listens first)
      --baud N            speed of a serial line (default: 9600)
      --name NAME         what the furnace is called
      --data DIR          where bakes are kept (default: .bakeside)
      --http-port N       where the kiosk is served (default: 8460)
      --demo              a simulated bench to practise on: --furnaces N, --speed 1…600, --seed K
      --fahrenheit        show °F; --pixel-millimetres 0.1695: the width of a pixel on this panel
      --verbose           say more on stderr
  bakeside ports [--json]               serial ports here, by stable name
  bakeside listen PORT [--json]         hears an unknown port: its baud rate, and the formats that fit
      --baud N, --seconds N   at one rate, for so long;  --ask   also ask what only speaks when asked
  bakeside judge TRACE.csv --plan PLAN.json [--json] [--fahrenheit] [--activation-energy 325000]
      compares a recorded trace with a plan; 1 when a finding needs a person, 0 when none does
      TRACE.csv has a header: seconds,celsius[,hectopascals] in any order; minutes, fahrenheit, kelvin,
      kilopascals, mmhg, inhg, torr and bar are understood; a row without a temperature is a missing reading
      in mV: --type S reads a column millivolts (or microvolts) with cold_junction_celsius beside it, or
      with --cold 24; where there are temperatures, too, these are judged unless --from mv is said
      --class iec-2, --accuracy, --resolution, --cold-accuracy, --position: what is known of the probe, in
      ± K; the verdict then says how sure it is. Faults of the thermocouple are told in any case
  bakeside convert --type S (--mv 6.743 | --celsius 800) [--cold 24] [--json]
      a thermocouple's mV to °C and back (B E J K N R S T); --cold: its cold junction in °C (default: 0);
      without a value a column on standard input, of °C with --from celsius: one answer a line, JSON a line
      with --json; a line without an answer stays empty; 1 when a value is out of range or no number
  bakeside plan check PLAN.json [--json]             what is wrong with a plan; 1 when it cannot be fired
  bakeside plan curve PLAN.json [--step 10] [--json] its set-point curve, as CSV
  bakeside plan effective CARD.json [--framework zirconia|lithium-disilicate|metal|none]
      [--size small|medium|large] [--bake first|second|correction] [--furnace ID] [--json]
      the plan that a card gives for a case, where each number came from, and what each adaptation does to
      the heat work of chamber and ware, flow length and length; 1 when the card refuses the case or its plan
      cannot be fired; CARD.json: a card as it was exported, a card alone, or a plan alone
      --material M.json, --activation-energy J/mol: what heat work is counted with; --fastest-climb 52: what
      this furnace manages, in K/min
  bakeside heat TRACE.csv --material M.json [--framework zirconia] [--size medium | --grams 2 --wall 2] [--json]
      what a bake would have done to a layer of a material: heat work, flow length, where its pores closed and
      at which pressure, porosity, reflectance, edge radius; by the chamber's temperature, and by the ware's
      where a framework is given; TRACE.csv as for judge, in mV with --type, --cold and --from
  bakeside plan schema | card schema | material schema   how each is written, as JSON Schema
  bakeside simulate [--furnaces N] [--speed S] [--seed K] [--transport pty|tcp] [--format FORMAT] [--json]
      simulated furnaces in the foreground; prints where to connect
      FORMAT: pairs, columns, number or json, and behind it perhaps -mv (EMF and cold junction), -cold, -f
      or -k; to be asked: modbus, modbus-tcp, scpi; --bus shared: all on one line, furnace-N as number N
      --baud 9600: garbage at any other rate; --type K: the thermocouple; --wrong-type S: for that fault
      --hertz 1 --noise 0.3: readings a second, and their noise in K; --links DIR: lines by stable names
      standard input takes one command a line: {"furnace":"furnace-1","fault":"reversed"}, or in place of
      fault "wire":"silver|gold|aluminium|none", "door":"open|closed", "start":PLAN, "abort":true; {"speed":60}
      faults: none, open-circuit, short, reversed, wrong-type, cold-stuck, cold-wild, frozen, spikes,
      intermittent, drop-outs, over-range; mute, garbage, flood, overlong, half-lines, vanish, slow, late,
      other-unit, noise, lost-bytes
  bakeside export BAKE|all [--csv|--json] [--out FILE] [--data DIR] [--demo]
      what was recorded; a bake with its plan, verdict and grades as JSON, its samples as CSV
  bakeside help | version

Results go to stdout, remarks to stderr. Exit code 0: good; 1: the data says no; 2: the call or the input
is wrong, with one line that says what, where and how to mend it.

Hot surfaces, mains voltage, fibre dust: a recorder is no safety device. Local rules and the instructions
of furnace and material come first.
`;

/** `bakeside help` */
export const run: Verb = async (_args, out) => {
  await write(out, HELP);
  return GOOD;
};
