import { monitorEventLoopDelay } from "node:perf_hooks";
import type { App } from "../deps.ts";
import { routeOf } from "./log.ts";

/** Bounds in seconds: lists are wanted below 0.3, tiles below 0.05. */
const BOUNDS_S = [0.01, 0.025, 0.05, 0.1, 0.25, 0.3, 0.5, 1, 2.5, 5, 10];

interface Counted {
  readonly buckets: number[];
  count: number;
  sumS: number;
}

/** What is counted of the server itself: no person, no patient, no address. */
export interface Metrics {
  /** As text in the Prometheus exposition format 0.0.4. @source PrometheusText */
  text(): string;
}

export interface Gauges {
  readonly streams: () => number;
  readonly jobsRunning: () => number;
}

/** Counts every answer by route and status, and how long it took by route. */
export function countAnswers(app: App, gauges: Gauges): Metrics {
  const answers = new Map<string, number>();
  const durations = new Map<string, Counted>();
  const delay = monitorEventLoopDelay({ resolution: 20 });
  delay.enable();
  app.addHook("onClose", async () => void delay.disable());
  app.addHook("onResponse", async (request, reply) => {
    const route = routeOf(request);
    const answer = `route="${escaped(route)}",status="${reply.statusCode}"`;
    answers.set(answer, (answers.get(answer) ?? 0) + 1);
    const seconds = reply.elapsedTime / 1000;
    const counted = durations.get(route) ?? { buckets: BOUNDS_S.map(() => 0), count: 0, sumS: 0 };
    durations.set(route, counted);
    counted.count += 1;
    counted.sumS += seconds;
    BOUNDS_S.forEach((bound, i) => {
      if (seconds <= bound) counted.buckets[i]! += 1;
    });
  });

  function text(): string {
    const lines: string[] = [];
    const about = (name: string, type: string, help: string) =>
      lines.push(`# HELP samescale_${name} ${help}`, `# TYPE samescale_${name} ${type}`);
    about("answers_total", "counter", "Answers by route and status.");
    for (const [labels, count] of answers) lines.push(`samescale_answers_total{${labels}} ${count}`);
    about("answer_seconds", "histogram", "How long answers took, by route.");
    for (const [route, { buckets, count, sumS }] of durations) {
      const label = `route="${escaped(route)}"`;
      for (const [i, bound] of BOUNDS_S.entries()) {
        lines.push(`samescale_answer_seconds_bucket{${label},le="${bound}"} ${buckets[i]}`);
      }
      lines.push(`samescale_answer_seconds_bucket{${label},le="+Inf"} ${count}`);
      lines.push(`samescale_answer_seconds_sum{${label}} ${sumS.toFixed(6)}`);
      lines.push(`samescale_answer_seconds_count{${label}} ${count}`);
    }
    const gauge = (name: string, help: string, value: number) => {
      about(name, "gauge", help);
      lines.push(`samescale_${name} ${value}`);
    };
    gauge("streams_open", "Pages that listen now.", gauges.streams());
    gauge("jobs_running", "Long work that runs now.", gauges.jobsRunning());
    gauge("memory_bytes", "Resident memory of the process.", process.memoryUsage.rss());
    gauge("loop_delay_seconds", "99th percentile of the event loop's delay.", delay.percentile(99) / 1e9);
    gauge("uptime_seconds", "Since the process began.", Math.round(process.uptime()));
    return `${lines.join("\n")}\n`;
  }
  return { text };
}

const escaped = (label: string): string =>
  label.replaceAll("\\", "\\\\").replaceAll('"', '\\"').replaceAll("\n", "\\n");
