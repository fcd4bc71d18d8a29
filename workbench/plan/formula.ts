import jsep from "jsep";
import { LeadhandError } from "../../protocols/error.js";

/**
 * The arithmetic of limits: numbers, + − * / ^, parentheses, min, max, abs, names of tool data and
 * result("step") or result("step", "detail"); first(a, b, …) is the first that has a value, for
 * results that a fault may leave out. Nothing else parses: no property access, no other call, no
 * assignment. `^` is the power and binds to the right.
 */
export interface Formula {
  readonly text: string;
  /** Names of tool data it uses. */
  readonly names: readonly string[];
  /** Earlier results it uses. */
  readonly results: readonly ResultName[];
  /** null when a name or result has no value yet, or the arithmetic has none (0/0, 1/0). */
  readonly evaluate: (scope: FormulaScope) => number | null;
}

interface ResultName {
  readonly step: string;
  /** null: the judged value itself. */
  readonly detail: string | null;
}

export interface FormulaScope {
  readonly data: (name: string) => number | null;
  readonly result: (name: ResultName) => number | null;
}

/** Long enough for any limit; short enough that no formula exhausts the stack. */
const LONGEST = 300;
const FUNCTIONS: Readonly<Record<string, (...values: number[]) => number>> = {
  min: Math.min,
  max: Math.max,
  abs: Math.abs,
};

jsep.removeAllBinaryOps();
jsep.removeAllUnaryOps();
jsep.removeAllLiterals();
for (const [operator, precedence] of Object.entries({ "+": 9, "-": 9, "*": 10, "/": 10 }))
  jsep.addBinaryOp(operator, precedence);
jsep.addBinaryOp("^", 11, true);
jsep.addUnaryOp("-");
jsep.addUnaryOp("+");

type Evaluate = (scope: FormulaScope) => number | null;

/** Throws `plan/formula`, naming the text and what is allowed. */
export function parseFormula(text: string): Formula {
  if (text.length > LONGEST) throw refuse(text, `is longer than ${LONGEST} characters`);
  const names = new Set<string>();
  const results: ResultName[] = [];
  const compile = new Compiler(text, names, results);
  const root = compile.node(parse(text));
  return {
    text,
    names: [...names],
    results,
    evaluate: (scope) => finite(root(scope)),
  };
}

function parse(text: string): jsep.CoreExpression {
  try {
    return jsep(text) as jsep.CoreExpression;
  } catch (thrown) {
    throw refuse(text, `does not read as arithmetic (${(thrown as Error).message})`);
  }
}

class Compiler {
  constructor(
    private readonly text: string,
    private readonly names: Set<string>,
    private readonly results: ResultName[],
  ) {}

  node(node: jsep.Expression): Evaluate {
    const known = node as jsep.CoreExpression;
    switch (known.type) {
      case "Literal":
        return this.number(known);
      case "Identifier":
        return this.name(known.name);
      case "UnaryExpression":
        return this.sign(known);
      case "BinaryExpression":
        return this.binary(known);
      case "CallExpression":
        return this.call(known);
      default:
        throw refuse(this.text, "holds something other than arithmetic");
    }
  }

  private number(node: jsep.Literal): Evaluate {
    const { value } = node;
    if (typeof value !== "number")
      throw refuse(this.text, "holds a text where a number is expected");
    return () => value;
  }

  private name(name: string): Evaluate {
    this.names.add(name);
    return (scope) => scope.data(name);
  }

  private sign(node: jsep.UnaryExpression): Evaluate {
    const argument = this.node(node.argument);
    if (node.operator === "+") return argument;
    return (scope) => lift((value) => -value, argument(scope));
  }

  private binary(node: jsep.BinaryExpression): Evaluate {
    // −2^2 is −4 on paper, but the parser binds the sign first and cannot tell it from (−2)^2.
    if (node.operator === "^" && node.left.type === "UnaryExpression")
      throw refuse(this.text, "raises a signed number to a power: write 0 - 2^2");
    const left = this.node(node.left);
    const right = this.node(node.right);
    const operate = operation(node.operator);
    return (scope) => lift(operate, left(scope), right(scope));
  }

  private call(node: jsep.CallExpression): Evaluate {
    const name = node.callee.type === "Identifier" ? (node.callee as jsep.Identifier).name : "";
    if (name === "result") return this.result(node.arguments);
    if (name === "first") return this.first(node.arguments);
    const apply = Object.hasOwn(FUNCTIONS, name) ? FUNCTIONS[name] : undefined;
    if (!apply)
      throw refuse(this.text, "calls something other than min, max, abs, first or result");
    if (node.arguments.length === 0) throw refuse(this.text, `gives ${name} nothing to work on`);
    if (name === "abs" && node.arguments.length !== 1)
      throw refuse(this.text, "gives abs more than one number");
    const parts = node.arguments.map((argument) => this.node(argument));
    return (scope) => lift(apply, ...parts.map((part) => part(scope)));
  }

  private first(parts: readonly jsep.Expression[]): Evaluate {
    if (parts.length === 0) throw refuse(this.text, "gives first nothing to choose from");
    const choices = parts.map((part) => this.node(part));
    return (scope) => {
      for (const choice of choices) {
        const value = finite(choice(scope));
        if (value !== null) return value;
      }
      return null;
    };
  }

  private result(parts: readonly jsep.Expression[]): Evaluate {
    const texts = parts.map((part) => (part as jsep.Literal).value);
    const [step, detail] = texts;
    if (texts.length < 1 || texts.length > 2 || texts.some((each) => typeof each !== "string"))
      throw refuse(this.text, 'uses result without a step in quotes, such as result("pack-open")');
    const name = { step: step as string, detail: (detail as string | undefined) ?? null };
    this.results.push(name);
    return (scope) => scope.result(name);
  }
}

function operation(operator: string): (left: number, right: number) => number {
  switch (operator) {
    case "+":
      return (left, right) => left + right;
    case "-":
      return (left, right) => left - right;
    case "*":
      return (left, right) => left * right;
    case "/":
      return (left, right) => left / right;
    default:
      return Math.pow;
  }
}

function lift(
  apply: (...values: number[]) => number,
  ...values: readonly (number | null)[]
): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === values.length ? apply(...known) : null;
}

function finite(value: number | null): number | null {
  return value !== null && Number.isFinite(value) ? value : null;
}

function refuse(text: string, why: string): LeadhandError {
  const shown = text.length > 60 ? `${text.slice(0, 57)}…` : text;
  return new LeadhandError("plan/formula", {
    what: `The formula "${shown}" ${why}.`,
    action:
      'Use numbers, + - * / ^, parentheses, min, max, abs, first, names of tool data and result("step").',
  });
}
