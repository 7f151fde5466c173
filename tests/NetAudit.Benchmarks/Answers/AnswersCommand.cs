using System.Globalization;
using System.Text;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sessions;
using NetAudit.Benchmarks.Accuracy;
using NetAudit.Benchmarks.Figures;
using NetAudit.Expectations;
using NetAudit.Jobs;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Answers;

/// <summary><c>answers</c>: how long the bench waits for its answer after each reading, disk included.</summary>
internal static class AnswersCommand
{
    public static int Run(Options options)
    {
        var (seed, units, readings) = (
            options.Count("seed", 1),
            options.Count("units", 12),
            options.Count("readings", 15)
        );
        var circuit = options.Text("circuit", "marram-50-a");
        var folder = Directory.CreateTempSubdirectory("netaudit-answers");
        try
        {
            using var store = JobStore
                .Open(Path.Combine(folder.FullName, "jobs.db"), TimeProvider.System)
                .Store!;
            var shelf = new CircuitShelf(store, Path.Combine(options.Samples, circuit + ".cir"));
            var source = shelf.Given.Single().Source;
            var prepared = shelf.Prepare(source);
            var generator = new UnitGenerator(prepared.Amplifier!, seed, healthyUnits: 8);
            var random = new Random(seed);
            // The page does so when a job is opened.
            prepared.WarmUpAsync().Wait();
            var times = new List<AnswerTimes>();
            for (var unit = 0; unit < units; unit++)
            {
                var csv = UnitReadings.Csv(
                    prepared.Amplifier!,
                    generator.Faulty(1 + unit % 2, random)
                );
                var taken = ReadingsFile
                    .ReadText(csv, "unit.csv", prepared.Amplifier!)
                    .Readings.ToDictionary(reading => reading.Node);
                var number = store.Create(new Dictionary<JobField, string>(), source).Number;
                using var session = new JobSession(store, shelf, store.Load(number)!);
                using var timing = new AnswerTiming(session);
                for (var i = 0; i < readings; i++)
                {
                    if (
                        session.Next(ReadingPhase.Before)?.Expected is not { } next
                        || !taken.TryGetValue(next.Point.Node, out var reading)
                    )
                    {
                        break;
                    }
                    times.Add(timing.Take(reading));
                }
            }
            var section = Section(circuit, options, units, times);
            FiguresFile.Write(options.Output, "answers", section);
            Console.WriteLine(section);
            return 0;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static string Section(
        string circuit,
        Options options,
        int units,
        List<AnswerTimes> times
    )
    {
        var text = new StringBuilder();
        text.AppendLine(
            CultureInfo.InvariantCulture,
            $"""
            ## Answers of the bench page (`answers --circuit {circuit} --units {units} --seed {options.Count(
                "seed",
                1
            )}`)

            From the moment the server has a reading until the page is told, the disk's word included; {times.Count} readings of {units} units of {circuit}
            made by ngspice, one and two faults in turn, each reading the one that the page proposed. The unit's first reading is among
            them. The processor's time is that of the whole process. {Machine.Description.Replace(
                "one core used",
                "all used",
                StringComparison.Ordinal
            )}

            | | median | 95 % | longest | processor, median | processor, 95 % |
            | --- | --- | --- | --- | --- | --- |
            """
        );
        void Row(string name, Func<AnswerTimes, Stretch?> of)
        {
            double[] clock = [.. times.Select(time => of(time)!.Value.Clock).Order()];
            double[] processor = [.. times.Select(time => of(time)!.Value.Processor).Order()];
            text.AppendLine(
                CultureInfo.InvariantCulture,
                $"| {name} | {clock[clock.Length / 2]:0} ms | {clock[clock.Length * 95 / 100]:0} ms | {clock[^1]:0} ms | {processor[processor.Length / 2]:0} ms | {processor[processor.Length * 95 / 100]:0} ms |"
            );
        }
        Row("reading on the disk", time => time.Kept);
        Row("first answer: the likeliest singles and pairs", time => time.First);
        Row("singles and pairs in full, next reading", time => time.Full);
        Row("final answer, larger sets", time => time.Final);
        text.AppendLine();
        text.AppendLine(
            CultureInfo.InvariantCulture,
            $"After {100.0 * times.Count(time => time.IsSame) / times.Count:0} % of the readings the first answer named the parts that the final one named, or nothing as it did."
        );
        return text.ToString();
    }
}
