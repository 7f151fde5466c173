using System.CommandLine;

namespace NetAudit.Cli.Manuals;

/// <summary>What to type, by verb: what it is for, and below it, further in, the command.</summary>
internal static class Examples
{
    private static readonly Dictionary<string, string> ByVerb = new()
    {
        ["expect"] = """
              What a healthy unit reads, stage by stage:
                netaudit expect sample-circuits/marram-20.cir
              A readings sheet to fill in at the bench:
                netaudit expect sample-circuits/marram-20.cir --csv > readings.csv
              Resistances with the power off, and levels of the test signal:
                netaudit expect sample-circuits/marram-20.cir --off
                netaudit expect sample-circuits/marram-20.cir --levels
              What stands there on a variable supply at 85 V:
                netaudit expect sample-circuits/marram-20.cir --condition mains=85

            """,
        ["diagnose"] = """
              What is wrong, from a sheet of readings:
                netaudit diagnose sample-circuits/marram-20.cir readings.csv
              The same from a pipe, for a program:
                cat readings.csv | netaudit diagnose marram-20.cir - --json
              Where to begin, from what the owner says:
                netaudit diagnose sample-circuits/marram-20.cir --complaint hums
              At the bench, one reading at a time, each saved as it is typed:
                netaudit diagnose sample-circuits/marram-20.cir --save readings.csv

            """,
        ["manual"] = """
              This page as a manual page, and one verb of it:
                netaudit manual --roff > netaudit.1 && man ./netaudit.1
                netaudit manual diagnose

            """,
        ["new"] = """
              What a circuit can be begun with:
                netaudit new --blocks
              A small amplifier, to be changed into what the drawing shows:
                netaudit new my-amp --chain gain,volume,gain,single-ended,supply

            """,
        ["check"] = """
              What looks wrong in a circuit as drawn:
                netaudit check sample-circuits/marram-20.cir
              What a code means:
                netaudit check --explain grid-return

            """,
        ["compare"] = """
              What a later revision changed, and what a meter would show of it:
                netaudit compare sample-circuits/marram-50-[ab].cir
              Three revisions side by side, for a spreadsheet:
                netaudit compare a.cir b.cir c.cir --csv > revisions.csv

            """,
        ["stress"] = """
              What the parts endure, the most stressed first, and the fuses:
                netaudit stress sample-circuits/marram-50-a.cir

            """,
        ["identify"] = """
              Which revision of a model the readings come from, with or without a fault:
                netaudit identify readings.csv sample-circuits/marram-50-*.cir

            """,
        ["drive"] = """
              Where it clips, with how many watts, and the level at each stage:
                netaudit drive sample-circuits/marram-20.cir
              At 500 Hz, for a spreadsheet and as a picture:
                netaudit drive sample-circuits/marram-20.cir --frequency 500 \
                  --csv --plot drive.svg > drive.csv

            """,
        ["surge"] = """
              How far the rails rise before the tubes are warm:
                netaudit surge sample-circuits/marram-50-a.cir

            """,
        ["calibrate"] = """
              What a known-good unit says about the model, kept for later:
                netaudit calibrate marram-20.cir good.csv -o good.toml
                netaudit diagnose marram-20.cir bad.csv --calibration good.toml
              The voltages published in the sheet:
                netaudit calibrate sample-circuits/marram-20.cir -o published.toml

            """,
        ["consequences"] = """
              What each fault does to the other parts, the worst first:
                netaudit consequences sample-circuits/marram-50-a.cir
              All that the faults of one part do:
                netaudit consequences sample-circuits/marram-50-a.cir --part C15

            """,
        ["service"] = """
              What to order and renew in a unit of 50 years:
                netaudit service sample-circuits/marram-20.cir --age 50
              For a spreadsheet:
                netaudit service sample-circuits/marram-20.cir --csv > parts.csv

            """,
        ["solve"] = """
              Every node voltage of a netlist:
                netaudit solve sample-circuits/marram-5.cir
              The same for a program:
                netaudit solve sample-circuits/marram-5.cir --json

            """,
        ["bench"] = """
              The bench page for every circuit of a folder, in the default browser:
                netaudit bench sample-circuits

            """,
        ["levels"] = """
              The test signal, point by point and stage by stage:
                netaudit levels sample-circuits/marram-20.cir
              The same at 5 kHz with the volume turned up:
                netaudit levels marram-20.cir --frequency 5k --condition volume=1

            """,
        ["response"] = """
              From the input to the load, drawn as well:
                netaudit response sample-circuits/marram-20.cir --plot response.svg
              The tone network alone, for a spreadsheet:
                netaudit response marram-20.cir --from p1 --to w1 --csv > tone.csv

            """,
        ["jobs"] = """
              Open a job, take readings for it from a file, look for it again:
                netaudit jobs new sample-circuits/marram-20.cir --complaint hums
                netaudit jobs enter 1 < readings.txt
                netaudit jobs list hums
              The owner's report, to print:
                netaudit jobs report 1 -o report.html
              Carry it to another machine:
                netaudit jobs export 1 -o job-1.json
                netaudit jobs import job-1.json

            """,
    };

    /// <summary>The examples of a verb, or of the one that it stands below; of all verbs when it has none.</summary>
    public static string Of(Command verb, Command? above) =>
        ByVerb.GetValueOrDefault(verb.Name)
        ?? ByVerb.GetValueOrDefault(above?.Name ?? "")
        ?? string.Concat(ByVerb.Values);
}
