import { SelectField, TextField } from "./field.js";

export interface BookingData {
  readonly make: string;
  readonly model: string;
  readonly serial: string;
  readonly complaint: string;
  readonly condition: string;
  readonly warranty: "unknown" | "warranty" | "paid";
  readonly customer: string;
  readonly contact: string;
  readonly reference: string;
}

export const emptyBooking: BookingData = {
  make: "",
  model: "",
  serial: "",
  complaint: "",
  condition: "",
  warranty: "unknown",
  customer: "",
  contact: "",
  reference: "",
};

const TOOL_FIELDS = [
  ["make", "Make"],
  ["model", "Model"],
  ["serial", "Serial number"],
  ["complaint", "What the customer says is wrong"],
  ["condition", "Condition on arrival"],
] as const;

const CUSTOMER_FIELDS = [
  ["customer", "Name"],
  ["contact", "Phone or mail"],
  ["reference", "Reference"],
] as const;

const WARRANTY = [
  ["unknown", "Not known yet"],
  ["warranty", "Warranty"],
  ["paid", "Paid by the customer"],
] as const;

interface Props {
  readonly booking: BookingData;
  readonly onChange: (booking: BookingData) => void;
}

/** Booking in: whose tool, and what is said to be wrong with it. All of it may stay empty. */
export function BookingFields({ booking, onChange }: Props) {
  const field = ([name, label]: readonly [keyof BookingData, string]) => (
    <TextField
      key={name}
      name={name}
      label={label}
      value={booking[name]}
      onChange={(value) => onChange({ ...booking, [name]: value })}
    />
  );
  return (
    <>
      <fieldset>
        <legend>Tool</legend>
        <div className="fields">
          {TOOL_FIELDS.map(field)}
          <SelectField
            label="Who pays"
            value={booking.warranty}
            options={WARRANTY}
            onChange={(value) => {
              const warranty = WARRANTY.find(([id]) => id === value)?.[0] ?? "unknown";
              onChange({ ...booking, warranty });
            }}
          />
        </div>
      </fieldset>
      <fieldset>
        <legend>Customer</legend>
        <p className="small">Kept apart from the evidence: a claim pack can be made without it.</p>
        <div className="fields">{CUSTOMER_FIELDS.map(field)}</div>
      </fieldset>
    </>
  );
}
