using System.Globalization;
using NetAudit.Reference.Ngspice;

namespace NetAudit.Tests.Tubes;

/// <summary>Electrode currents of a tube at forced voltages: amperes into plate (or first plate), grid (or second plate) and screen.</summary>
internal readonly record struct TubeCurrents(double Plate, double Grid, double Screen);

/// <summary>Electrode voltages against the cathode.</summary>
internal readonly record struct TubeVoltages(double Plate, double Grid, double Screen);

/// <summary>A tube of <c>tubes.lib</c> between voltage sources: the cathode at chassis.</summary>
internal static class TubeBenchNetlist
{
    /// <summary>The cards, without the library.</summary>
    public static IEnumerable<string> Cards(string type)
    {
        yield return "VP p 0 0";
        yield return "VG g 0 0";
        yield return "VS s 0 0";
        yield return Ports(type) switch
        {
            "P G K S" => $"X1 p g 0 s {type}",
            "P G K" => $"X1 p g 0 {type}",
            // A rectifier's second plate takes the grid's place.
            _ => $"X1 p g 0 {type}",
        };
        // The source of an electrode that the tube lacks must still see a load.
        yield return "RS s 0 1meg";
    }

    public static string Ports(string type)
    {
        var text = EmbeddedText.TubesLib;
        var start =
            text.IndexOf($"\n.subckt {type} ", StringComparison.Ordinal)
            + $"\n.subckt {type} ".Length;
        return text[start..text.IndexOf(" PARAMS:", start, StringComparison.Ordinal)];
    }
}

/// <summary>The bench in ngspice.</summary>
internal static class NgspiceTubeBench
{
    public static IReadOnlyList<TubeCurrents> Measure(
        string type,
        IReadOnlyList<TubeVoltages> voltages
    ) =>
        NgspiceSession.Use(ngspice =>
        {
            ngspice.Load([
                "tube bench",
                .. EmbeddedText.TubesLib.Split('\n'),
                .. TubeBenchNetlist.Cards(type),
                ".end",
            ]);
            var currents = new List<TubeCurrents>();
            foreach (var at in voltages)
            {
                ngspice.Alter("vp", at.Plate);
                ngspice.Alter("vg", at.Grid);
                ngspice.Alter("vs", at.Screen);
                if (!ngspice.OperatingPoint())
                {
                    throw new InvalidOperationException(
                        string.Create(CultureInfo.InvariantCulture, $"{type} {at}: {ngspice.Log}")
                    );
                }
                currents.Add(
                    new(
                        -ngspice.Value("vp#branch"),
                        -ngspice.Value("vg#branch"),
                        -ngspice.Value("vs#branch") - at.Screen / 1e6
                    )
                );
            }
            return currents;
        });
}
