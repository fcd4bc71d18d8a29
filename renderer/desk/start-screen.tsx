import { useState } from "react";
import type { CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { BenchClient } from "../client/bench-client.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { BookingFields, emptyBooking } from "./booking-fields.js";
import { SelectField } from "./field.js";
import type { Order } from "../../workbench/contract/events.js";
import { ORDER_WORDS } from "../order/order-words.js";
import { Options } from "./options.js";
import { PhotoFields } from "./photo-fields.js";
import { fileBase64 } from "../apart/picture-data.js";
import { isWordless } from "./photo-file.js";
import type { ChosenPhoto } from "./photo-file.js";
import { startRequest } from "./start-request.js";
import type { ChosenMeter, RepeatPreset } from "./start-request.js";

interface Props {
  /** The job that is to be repeated after its repair; null: a new one. */
  readonly repeat: RepeatPreset | null;
}

/** Which plan, which meter, which tool; then hands off the keyboard. */
export function StartScreen({ repeat }: Props) {
  const canPhoto = useCan("addPhoto");
  const plans = useAnswer("listPlans", {});
  const [plan, setPlan] = useState<string | null>(repeat?.planId ?? null);
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [tables, setTables] = useState<Readonly<Record<string, string>>>({});
  const kept = useAnswer("readOrder", {});
  const [chosenOrder, setOrder] = useState<Order | null>(null);
  const order = chosenOrder ?? kept?.order ?? null;
  const [booking, setBooking] = useState({ ...emptyBooking, ...repeat?.tool });
  const [photos, setPhotos] = useState<readonly ChosenPhoto[]>([]);
  const { start, busy } = useStart();
  const thePlan = plans?.find(({ id }) => id === plan) ?? plans?.[0] ?? null;
  const offer = useOffer(thePlan?.kind ?? "");
  const addresses = chosen.length > 0 ? chosen : offer.preset;
  const meters = addresses.map((address) => ({ address, table: tables[address] ?? "" }));
  const request =
    thePlan === null || meters.length === 0
      ? null
      : startRequest(thePlan.id, meters, booking, repeat?.repeats ?? null, order);
  return (
    <form
      className="form"
      data-testid="start-screen"
      onSubmit={(event) => {
        event.preventDefault();
        if (request !== null) start(request, photos);
      }}
    >
      <h1>New job</h1>
      {repeat !== null && <RepeatHint job={repeat.repeats} />}
      <div className="columns">
        <Options
          legend="Plan"
          name="plan"
          options={(plans ?? []).map(planOption)}
          chosen={thePlan === null ? [] : [thePlan.id]}
          onChoose={(ids) => setPlan(ids[0] ?? null)}
        />
        <div className="form">
          {order !== null && <OrderChoice order={order} onChoose={setOrder} />}
          <MeterChoice offer={offer} chosen={addresses} onChoose={setChosen} />
          <TableChoices
            meters={meters}
            onChoose={(address, table) => setTables({ ...tables, [address]: table })}
          />
        </div>
      </div>
      <BookingFields booking={booking} onChange={setBooking} />
      {canPhoto && <PhotoFields label={PHOTOS} photos={photos} onChange={setPhotos} />}
      <StartButton disabled={busy || request === null || photos.some(isWordless)} />
    </form>
  );
}

interface OrderProps {
  readonly order: Order;
  readonly onChoose: (order: Order) => void;
}

/** As it was chosen last in this shop; it can be changed at any time of the run. */
function OrderChoice({ order: chosen, onChoose }: OrderProps) {
  return (
    <Options
      legend="Order of the steps"
      name="order"
      options={ORDER_WORDS.map(({ order, title, note }) => ({ id: order, title, note }))}
      chosen={[chosen]}
      onChoose={(ids) => {
        const found = ORDER_WORDS.find(({ order }) => order === ids[0]);
        if (found) onChoose(found.order);
      }}
    />
  );
}

const PHOTOS = "Photos of the tool on arrival (JPEG or PNG)";

function RepeatHint({ job }: { readonly job: string }) {
  return (
    <p className="hint" data-testid="repeats">
      The same tool once more after the repair, to stand beside the job {job}.
    </p>
  );
}

function StartButton({ disabled }: { readonly disabled: boolean }) {
  return (
    <div>
      <button
        className="button"
        data-kind="main"
        data-testid="start"
        type="submit"
        disabled={disabled}
      >
        Start the plan
      </button>
    </div>
  );
}

/** Asks the bench to start, once at a time. */
function useStart() {
  const { client } = useBench();
  const act = useAction();
  const [busy, setBusy] = useState(false);
  const start = (request: CallParams<"startRun">, photos: readonly ChosenPhoto[]): void => {
    setBusy(true);
    act(startWith(client, request, photos).finally(() => setBusy(false)));
  };
  return { start, busy };
}

/** The run first: a photo that cannot be added must not keep anybody from measuring. */
async function startWith(
  client: BenchClient,
  request: CallParams<"startRun">,
  photos: readonly ChosenPhoto[],
): Promise<void> {
  const { job } = await client.call("startRun", request);
  for (const { file, caption } of photos) {
    const data = await fileBase64(file);
    await client.call("addPhoto", {
      job,
      data,
      caption: caption.trim(),
      moment: "on-arrival",
      of: null,
    });
  }
}

function planOption(plan: CallResult<"listPlans">[number]) {
  return { id: plan.id, title: plan.title, note: `${plan.steps} steps` };
}

/** What there is to measure with; without a choice the practice bench, where the plan has one. */
function useOffer(kind: string) {
  const meters = useAnswer("listMeters", {}) ?? [];
  const practice = useAnswer("listPractice", {}) ?? [];
  const choices = practice.find((each) => each.kind === kind)?.choices ?? [];
  const real = meters.filter(({ address }) => !address.startsWith("practice:"));
  const preset = choices.slice(0, 1).map(({ address }) => address);
  return { real, choices, preset };
}

interface MeterProps {
  readonly offer: ReturnType<typeof useOffer>;
  readonly chosen: readonly string[];
  readonly onChoose: (meters: readonly string[]) => void;
}

/** Real meters, or the practice bench with what is to be hidden in its tool. */
function MeterChoice({ offer: { real, choices }, chosen, onChoose }: MeterProps) {
  const practising = choices.some(({ address }) => chosen[0] === address);
  const options = [
    ...real.map(({ address, title, note }) => ({ id: address, title, note })),
    ...(choices.length > 0 ? [practiceOption] : []),
  ];
  const choose = (ids: readonly string[]): void => {
    const first = choices[0]?.address;
    const nowPractice = ids.includes(practiceOption.id) && !practising;
    if (nowPractice && first !== undefined) onChoose([first]);
    else onChoose(ids.filter((id) => id !== practiceOption.id));
  };
  return (
    <>
      <Options
        legend="Meter"
        name="meter"
        many
        options={options}
        chosen={practising ? [practiceOption.id] : chosen}
        onChoose={choose}
      />
      {practising && (
        <SelectField
          label="Hidden in the simulated tool"
          value={chosen[0] ?? ""}
          options={choices.map(({ address, title }) => [address, title] as const)}
          onChange={(address) => onChoose([address])}
        />
      )}
    </>
  );
}

const practiceOption = {
  id: "practice",
  title: "Practice bench",
  note: "A simulated tool, hand and meter; no meter needed",
};

interface TableProps {
  readonly meters: readonly ChosenMeter[];
  readonly onChoose: (address: string, table: string) => void;
}

/** Each meter on the bench has an accuracy of its own. */
function TableChoices({ meters, onChoose }: TableProps) {
  const tables = useAnswer("listTables", {}) ?? [];
  if (tables.length === 0) return null;
  const options = [
    ["", "Not known: no uncertainty in the verdicts"] as const,
    ...tables.map(
      ({ meter, outOfCalibration }) =>
        [meter, outOfCalibration ? `${meter} (out of calibration)` : meter] as const,
    ),
  ];
  return meters.map(({ address, table }) => (
    <SelectField
      key={address}
      label={meters.length === 1 ? "Accuracy of the meter" : `Accuracy of ${address}`}
      value={table}
      options={options}
      onChange={(to) => onChoose(address, to)}
    />
  ));
}
