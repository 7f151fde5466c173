using System.Numerics;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>What an excitation is.</summary>
internal enum ExcitationKind
{
    Source,
    Feed,
    Current,
}

/// <summary>A small sine wave put into a circuit. Complex amplitudes: rms or peak, as the caller likes; levels are of the same sort.</summary>
public readonly record struct Excitation
{
    private Excitation(ExcitationKind kind) => Kind = kind;

    internal ExcitationKind Kind { get; }

    internal int Element { get; private init; }

    internal int Positive { get; private init; }

    internal int Negative { get; private init; }

    internal Complex Amplitude { get; private init; }

    internal double Ohms { get; private init; }

    internal double Farads { get; private init; }

    /// <summary>An independent source of the circuit.</summary>
    /// <param name="element">Element index of a V or I.</param>
    /// <param name="amplitude">Volts or amperes.</param>
    public static Excitation OfSource(int element, Complex amplitude) =>
        new(ExcitationKind.Source) { Element = element, Amplitude = amplitude };

    /// <summary>
    /// A test signal put in between two nodes, through a resistance and a blocking capacitor in series. Both stay connected for as long as the
    /// excitation lasts, and load the circuit; the capacitor keeps the operating point as it is.
    /// </summary>
    /// <param name="positive">Node index.</param>
    /// <param name="negative">Node index; 0 is chassis.</param>
    /// <param name="volts">Of the generator, positive at <paramref name="positive"/>.</param>
    /// <param name="ohms">Not below 0.</param>
    /// <param name="farads">Above 0; positive infinity is none.</param>
    public static Excitation Fed(
        int positive,
        int negative,
        Complex volts,
        double ohms,
        double farads
    ) =>
        new(ExcitationKind.Feed)
        {
            Positive = positive,
            Negative = negative,
            Amplitude = volts,
            Ohms = ohms,
            Farads = farads,
        };

    /// <summary>A current that leaves one node and enters another.</summary>
    /// <param name="from">Node index.</param>
    /// <param name="to">Node index.</param>
    /// <param name="amperes">Amperes.</param>
    public static Excitation OfCurrent(int from, int to, Complex amperes) =>
        new(ExcitationKind.Current)
        {
            Positive = to,
            Negative = from,
            Amplitude = amperes,
        };
}
