using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>Plate current against plate voltage at one grid voltage.</summary>
/// <param name="GridVolts">Grid against cathode, volts.</param>
/// <param name="Points">Plate against cathode in volts, plate current in amperes.</param>
public sealed record PlateCurve(
    double GridVolts,
    ImmutableArray<(double Volts, double Amps)> Points
);

/// <summary>
/// The plate curves of a tube section with what the healthy circuit around it does: its DC load line and its operating point. Voltages
/// against the cathode.
/// </summary>
/// <param name="Section">The section.</param>
/// <param name="Curves">The curves, highest grid voltage first.</param>
/// <param name="Volts">Plate voltage at the operating point.</param>
/// <param name="Amps">Plate current there, amperes.</param>
/// <param name="GridVolts">Grid voltage there.</param>
/// <param name="OpenVolts">Plate voltage when no plate current flows: where the load line meets the axis.</param>
/// <param name="ScreenVolts">Screen voltage at the operating point, which the curves are drawn for; NaN without a screen.</param>
public sealed record PlateCurves(
    TubeSection Section,
    ImmutableArray<PlateCurve> Curves,
    double Volts,
    double Amps,
    double GridVolts,
    double OpenVolts,
    double ScreenVolts
)
{
    private const int Steps = 60;
    private const int MostCurves = 9;
    private const double OpenOhms = 1e12;

    /// <summary>The curves of a section; null when it has no plate and grid of its own, or no operating point.</summary>
    public static PlateCurves? Of(
        Amplifier amplifier,
        TubeSection section,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        ArgumentNullException.ThrowIfNull(section);
        if (section.Plate < 0 || section.Grid < 0 || section.Cathode < 0)
        {
            return null;
        }
        var circuit = amplifier.Circuit;
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        if (
            SectionBench.Of(circuit, section) is not { } bench
            || !workspace.Solve([], cancellationToken).Converged
        )
        {
            return null;
        }
        double Against(int pin) =>
            workspace.Volts[circuit.Pins[pin].Node]
            - workspace.Volts[circuit.Pins[section.Cathode].Node];
        var (plate, grid) = (Against(section.Plate), Against(section.Grid));
        var screen = section.Screen < 0 ? double.NaN : Against(section.Screen);
        var bias = double.IsNaN(screen) ? 0 : screen;
        var amps = bench.Amps(plate, grid, bias);
        workspace.Break(section.Plate, OpenOhms);
        var open = workspace.Solve(workspace.Volts, cancellationToken).Converged
            ? Against(section.Plate)
            : double.NaN;
        var most = 1.15 * Math.Max(plate, double.IsNaN(open) ? plate : open);
        if (!(most > 0) || double.IsNaN(amps))
        {
            return null;
        }
        var curves = GridSteps(grid)
            .Select(volts => new PlateCurve(
                volts,
                [
                    .. Enumerable
                        .Range(0, Steps + 1)
                        .Select(i => most * i / Steps)
                        .Select(v => (v, bench.Amps(v, volts, bias)))
                        .Where(point => double.IsFinite(point.Item2)),
                ]
            ));
        return new(section, [.. curves], plate, amps, grid, open, screen);
    }

    /// <summary>Current on the load line at a plate voltage, amperes: what the load as drawn lets through.</summary>
    public double LoadAmps(double plateVolts) =>
        Amps * (OpenVolts - plateVolts) / (OpenVolts - Volts);

    /// <summary>False for a load without resistance to speak of (a transformer), whose line stands upright.</summary>
    public bool HasLoadLine => OpenVolts - Volts > 0.03 * Math.Abs(OpenVolts);

    // From 0 to about twice the grid voltage of the operating point, in steps of 1, 2 or 5.
    private static IEnumerable<double> GridSteps(double grid)
    {
        var span = Math.Max(0.5, 2.2 * Math.Abs(Math.Min(grid, 0)));
        var rough = span / (MostCurves - 1);
        var decade = Math.Pow(10, Math.Floor(Math.Log10(rough)));
        var step =
            decade
            * (
                rough <= decade ? 1
                : rough <= 2 * decade ? 2
                : rough <= 5 * decade ? 5
                : 10
            );
        for (var i = 0; i < MostCurves && i * step <= span * 1.001; i++)
        {
            yield return -i * step;
        }
    }
}
