using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation;

namespace NetAudit.Expectations;

/// <summary>
/// Predicts a fixed list of readings for whatever state the workspace is put in: the mean, and the derivatives with respect to every
/// spread term, whitened (per standard deviation). Buffers are reused; nothing is allocated after construction. One per thread.
/// </summary>
internal sealed class Predictor
{
    private const int MaxEdits = 8;

    private readonly SpreadModel _spread;
    private readonly Probe[] _probes;
    private readonly double _gainSigma;
    private readonly int[] _columns;
    private readonly int[] _columnOf;
    private readonly int[] _termOf;
    private readonly double[] _scale;
    private readonly bool[] _fixed;
    private readonly double[] _raw;

    public Predictor(
        CompiledCircuit compiled,
        SpreadModel spread,
        ImmutableArray<Probe> probes,
        Meter meter
    )
    {
        Workspace = new Workspace(compiled);
        _spread = spread;
        _probes = [.. probes];
        _gainSigma = meter.GainSigma();
        var parameters = compiled.Parameters;
        var used = Enumerable
            .Range(0, parameters.Length)
            .Where(p => ActsAtDc(compiled, p))
            .ToArray();
        _columns = [.. used, .. Enumerable.Range(parameters.Length, MaxEdits)];
        _columnOf = new int[parameters.Length];
        Array.Fill(_columnOf, -1);
        for (var column = 0; column < used.Length; column++)
        {
            _columnOf[used[column]] = column;
        }
        ParameterColumns = used.Length;
        _termOf = new int[used.Length];
        _scale = new double[used.Length];
        _fixed = new bool[used.Length];
        Array.Fill(_termOf, -1);
        for (var term = 0; term < spread.Terms.Length; term++)
        {
            foreach (var parameter in spread.Terms[term].Parameters)
            {
                _termOf[_columnOf[parameter]] = term;
            }
        }
        // Rows padded to whole vectors of four.
        Width = (spread.Terms.Length + 1 + 3) / 4 * 4;
        _raw = new double[_probes.Length * _columns.Length];
        Mean = new double[_probes.Length];
        Jacobian = new double[_probes.Length * Width];
        Deviations = spread.Terms.Length + 1;
    }

    /// <summary>The workspace that the caller alters and solves.</summary>
    public Workspace Workspace { get; }

    /// <summary>Number of readings.</summary>
    public int Readings => _probes.Length;

    /// <summary>Number of spread amounts: one a term and, last, the meter's gain error.</summary>
    public int Deviations { get; }

    /// <summary>Row length of <see cref="Jacobian"/>; at least <see cref="Deviations"/>, the rest zero.</summary>
    public int Width { get; }

    /// <summary>Number of parameter columns of <see cref="Raw"/>; the columns of edits follow.</summary>
    public int ParameterColumns { get; }

    /// <summary>Row length of <see cref="Raw"/> after the last <see cref="Read"/>.</summary>
    public int RawWidth { get; private set; }

    /// <summary>Predicted readings in volts, [readings].</summary>
    public double[] Mean { get; }

    /// <summary>d(reading)/d(spread amount) in volts per sigma, [readings x Width].</summary>
    public double[] Jacobian { get; }

    /// <summary>d(reading)/d(parameter or edit) in volts per SI unit, [readings x RawWidth].</summary>
    public ReadOnlySpan<double> Raw => _raw;

    /// <summary>Column of a solver parameter in <see cref="Raw"/>.</summary>
    public int ColumnOf(int parameter) => _columnOf[parameter];

    /// <summary>Puts the workspace into the healthy state with the given spread amounts.</summary>
    /// <param name="amounts">In standard deviations, [Deviations]; empty for nominal.</param>
    public void Restore(ReadOnlySpan<double> amounts)
    {
        Workspace.Restore();
        Array.Clear(_fixed);
        for (var term = 0; term < _spread.Terms.Length; term++)
        {
            var description = _spread.Terms[term];
            var amount = amounts.IsEmpty ? 0 : amounts[term];
            foreach (var parameter in description.Parameters)
            {
                var nominal = Workspace.Get(parameter);
                var value = description.IsFactor
                    ? nominal * Math.Exp(description.Sigma * amount)
                    : nominal + description.Sigma * amount;
                if (amount != 0)
                {
                    Workspace.Set(parameter, value);
                }
                _scale[_columnOf[parameter]] =
                    description.Sigma * (description.IsFactor ? value : 1);
            }
        }
    }

    /// <summary>Sets a parameter to a fault's value: it no longer spreads.</summary>
    public void Override(int parameter, double value)
    {
        Workspace.Set(parameter, value);
        _fixed[_columnOf[parameter]] = true;
    }

    /// <summary>Fills <see cref="Mean"/> only, from the solved workspace.</summary>
    public void ReadMean() => Workspace.Read(_probes, [], Mean, []);

    /// <summary>Fills <see cref="Mean"/>, <see cref="Raw"/> and <see cref="Jacobian"/> from the solved workspace.</summary>
    /// <param name="edits">Number of edits made in the workspace; their derivatives are the last columns of <see cref="Raw"/>.</param>
    public void Read(int edits)
    {
        RawWidth = ParameterColumns + edits;
        Workspace.Read(
            _probes,
            _columns.AsSpan(0, RawWidth),
            Mean,
            _raw.AsSpan(0, Readings * RawWidth)
        );
        Array.Clear(Jacobian);
        for (var reading = 0; reading < Readings; reading++)
        {
            var raw = _raw.AsSpan(reading * RawWidth, ParameterColumns);
            var row = Jacobian.AsSpan(reading * Width, Width);
            for (var column = 0; column < raw.Length; column++)
            {
                var term = _termOf[column];
                if (term >= 0 && !_fixed[column])
                {
                    row[term] += raw[column] * _scale[column];
                }
            }
            row[Deviations - 1] = Mean[reading] * _gainSigma;
        }
    }

    private static bool ActsAtDc(CompiledCircuit compiled, int parameter) =>
        compiled.Parameters[parameter] is not { Kind: ParameterKind.Value } value
        || compiled.Circuit.Elements[value.Index] is not (Circuits.Capacitor or Circuits.Inductor);
}
